/** A soak run (`npm run soak`) draws twenty times as many random cases wherever a test leaves the count open. */
import fc from "fast-check";

if (process.env["WITHY_SOAK"] === "1") fc.configureGlobal({ numRuns: 2000 });
