"use strict";
// Before the first paint: of all rounds on the page only one is to be seen, and the clock will be there in a moment.
document.documentElement.dataset.face = "setting";
