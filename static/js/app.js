"use strict";
// Small behaviours, each hung on a data- attribute; every page works without them.
import { watchSending } from "./behaviours/busy.js";
import { watchCopying } from "./behaviours/copy.js";
import { watchFilters } from "./behaviours/filter.js";
import { watchDrafts } from "./behaviours/draft.js";
import { focusTrouble } from "./behaviours/focus.js";
import { watchPrinting } from "./behaviours/print.js";
import { watchRings } from "./behaviours/rings.js";
import { watchSun } from "./behaviours/sun.js";
import { watchChoices } from "./behaviours/submit.js";
import { watchToken } from "./behaviours/token.js";
import { watchAnswers } from "./behaviours/unsent.js";
import { watchOffline } from "./offline/page.js";

watchToken(document);
watchDrafts(document);
watchSending(document);
watchCopying(document);
watchFilters(document);
watchPrinting(document);
watchRings(document);
watchSun(document);
watchChoices(document);
watchAnswers(document);
focusTrouble(document);
watchOffline(document);
document.documentElement.dataset.ready = "yes";
