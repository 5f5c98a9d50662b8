// Spoken words, where the phone has a voice. It counts as on only once the phone has begun to speak.
export class Voice {
  constructor(changed) {
    Object.assign(this, { changed, maker: window.speechSynthesis, heard: false, refused: false, asked: false });
    this.maker?.addEventListener?.("voiceschanged", changed);
  }

  // Within a tap: some phones let a page speak later only if it spoke then.
  prime() {
    if (!this.maker || this.asked) return;
    this.asked = true;
    const silence = new SpeechSynthesisUtterance(" ");
    silence.volume = 0;
    this.maker.speak(silence);
  }

  say(text) {
    if (!this.maker || !this.asked || !text) return;
    const spoken = new SpeechSynthesisUtterance(text);
    spoken.lang = document.documentElement.lang;
    spoken.onstart = () => this.told(true);
    spoken.onerror = ({ error }) => { if (!["canceled", "interrupted"].includes(error)) this.told(false); };
    this.maker.cancel();
    this.maker.speak(spoken);
  }

  hush() {
    this.maker?.cancel();
  }

  told(heard) {
    Object.assign(this, { heard, refused: !heard });
    this.changed();
  }

  state() {
    if (!this.asked) return "tap";
    if (this.refused) return "refused";
    if (this.heard) return "on";
    return this.maker.getVoices().length ? "trying" : "none";
  }
}
