// This phone is told nothing more: whoever had it has left.
export async function endPush() {
  try {
    const worker = await navigator.serviceWorker?.getRegistration();
    await (await worker?.pushManager?.getSubscription())?.unsubscribe();
  } catch {
    // Without a network the club ends it: the service then knows this browser no more at the next notice.
  }
}
