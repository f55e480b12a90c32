// The page begins here: with the data that lie in it, where it is one file, or with those that barover show gives.

import { Filed } from "./filed.js";
import { Live } from "./live.js";
import { Page } from "./page.js";
import { byId } from "./text.js";

const data = byId("data");
window.barover = new Page(data ? await Filed.open(data.textContent.trim()) : new Live());
