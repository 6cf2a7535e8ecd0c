/** A soak run (`npm run soak`) draws twenty times as many random cases wherever a test leaves the count open. */
if (process.env["WITHY_SOAK"] === "1") {
  const { default: fc } = await import("fast-check");
  fc.configureGlobal({ numRuns: 2000 });
}

export {};
