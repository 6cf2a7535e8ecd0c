/** How a report looks, on a screen and on A4. Nothing is told by colour alone. */
export const style = `
:root { --ink: #16202a; --soft: #51606c; --line: #b9c3ca; --shade: #eef1f3; }
* { box-sizing: border-box; }
body { margin: 0; background: #fff; color: var(--ink); font: 10.5pt/1.45 "Noto Sans", "DejaVu Sans", "Liberation Sans", Arial, sans-serif; }
main { max-width: 182mm; margin: 0 auto; padding: 12mm 0; }
h1 { font-size: 19pt; line-height: 1.2; margin: 0 0 1mm; overflow-wrap: anywhere; }
h2 { font-size: 13.5pt; margin: 8mm 0 2.5mm; padding-bottom: 1mm; border-bottom: 0.5mm solid var(--ink); break-after: avoid; }
h3 { font-size: 11pt; margin: 5mm 0 1.5mm; break-after: avoid; }
p { margin: 0 0 2mm; overflow-wrap: anywhere; }
ul { margin: 0 0 2mm; padding-left: 5mm; } li { margin-bottom: 0.8mm; overflow-wrap: anywhere; }
.soft { color: var(--soft); } section > .soft { font-size: 9pt; }
.verdict { border: 0.6mm solid var(--ink); border-left-width: 4mm; padding: 4mm 5mm 2mm; margin: 4mm 0; break-inside: avoid; }
.verdict .answer { font-size: 16pt; font-weight: 700; margin-bottom: 1mm; }
.verdict .says { font-size: 12pt; }
.no { border-left-style: double; } .undecided { border-style: dashed; border-left-style: dashed; }
.simulated { background: var(--shade); border-left: 1.2mm solid var(--soft); padding: 2mm 4mm; margin: 0 0 3mm; break-inside: avoid; }
table { border-collapse: collapse; width: 100%; margin: 0 0 4mm; font-size: 9.2pt; line-height: 1.35; }
caption { text-align: left; font-weight: 600; padding: 0 0 1.2mm; break-after: avoid; }
th, td { text-align: left; vertical-align: top; padding: 0.9mm 2mm 0.9mm 0; border-bottom: 0.2mm solid var(--line); overflow-wrap: anywhere; }
thead { display: table-header-group; } thead th { border-bottom: 0.4mm solid var(--ink); vertical-align: bottom; overflow-wrap: normal; }
tr { break-inside: avoid; } tbody th { font-weight: 400; }
.facts th { width: 38%; color: var(--soft); }
.number { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }
thead .number { white-space: normal; }
.margins tbody th { font-weight: 600; } 
.margins td:nth-child(2) { white-space: nowrap; } .margins { table-layout: fixed; } .margins th:nth-child(1) { width: 12.5%; } .margins th:nth-child(2) { width: 11%; } .margins th:nth-child(3) { width: 7.5%; }
.margins td.number { white-space: normal; overflow-wrap: normal; } .margins th:nth-child(4), .margins th:nth-child(5) { width: 12%; } .margins th:nth-child(6), .margins td:nth-child(6) { padding-left: 2.5mm; } .margins th:nth-child(7) { width: 21%; } .margins td:nth-child(7) { font-size: 8.4pt; } .margins ul { padding-left: 3.5mm; margin: 0; }
.turns { table-layout: fixed; } .turns th:nth-child(1) { width: 18%; } .turns th:nth-child(2) { width: 14%; } .turns th:nth-child(4) { width: 34%; }
.depths { font-size: 7.8pt; line-height: 1.25; } .depths th, .depths td { padding: 0.5mm 1.6mm 0.5mm 0; }
.hash { font-family: "DejaVu Sans Mono", "Liberation Mono", monospace; font-size: 8.6pt; }
figure { margin: 0 0 5mm; break-inside: avoid; }
figure svg { max-width: 100%; height: auto; }
figcaption { font-size: 8.8pt; color: var(--soft); margin-top: 1mm; } figcaption b { color: var(--ink); }
.picture text, .lines svg { font: 11px "Noto Sans", "DejaVu Sans", "Liberation Sans", Arial, sans-serif; } .picture .small { font-size: 9px; }
.pair { display: grid; grid-template-columns: 1fr 1fr; gap: 0 6mm; align-items: start; } .pair .wide { grid-column: 1 / -1; }
.lines { display: flex; flex-wrap: wrap; gap: 0 5mm; font-size: 8.8pt; } .lines svg { vertical-align: middle; }
.key { display: grid; grid-template-columns: max-content 1fr; gap: 0.6mm 3mm; margin: 0 0 4mm; font-size: 9.2pt; }
.key dt { font-weight: 600; } .key dd { margin: 0; overflow-wrap: anywhere; }
@media screen { body { background: #e6eaec; } main { background: #fff; max-width: 206mm; padding: 12mm; box-shadow: 0 0 3mm #0002; } }
@page { size: A4; margin: 15mm 14mm 17mm; @bottom-left { content: "Simulated. It advises; the owner's engineer decides."; font: 8pt sans-serif; color: #51606c; }
  @bottom-right { content: counter(page) " / " counter(pages); font: 8pt sans-serif; color: #51606c; } }
@media print { body { font-size: 9.5pt; } table, .key { font-size: 8.6pt; } .depths { font-size: 7.6pt; } main { max-width: none; padding: 0; } body { -webkit-print-color-adjust: exact; print-color-adjust: exact; } .apart { break-before: page; } }
`;
