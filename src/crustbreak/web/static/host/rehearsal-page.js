// The rehearsal plays the helper's page, so that this has to be here first.

import "../shared/help-page.js";

await import("../shared/rehearsal-table.js");
