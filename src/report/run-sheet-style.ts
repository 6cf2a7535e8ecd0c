/** How a run sheet looks: A4, black on white, room to write. */
export const runSheetStyle = `
* { box-sizing: border-box; }
body { margin: 0; background: #fff; color: #000; font: 10pt/1.35 "Noto Sans", "DejaVu Sans", "Liberation Sans", Arial, sans-serif; }
main { max-width: 186mm; margin: 0 auto; padding: 8mm 0; }
h1 { font-size: 17pt; margin: 0 0 1mm; overflow-wrap: anywhere; }
h2 { font-size: 12.5pt; margin: 6mm 0 2mm; border-bottom: 0.6mm solid #000; break-after: avoid; }
h3 { font-size: 11pt; margin: 0 0 1.5mm; }
p, ul, ol { margin: 0 0 2mm; } ul, ol { padding-left: 6mm; } li { margin-bottom: 1mm; overflow-wrap: anywhere; }
.box { border: 0.5mm solid #000; padding: 2.5mm 3.5mm; margin: 0 0 3mm; break-inside: avoid; }
.stop { border-width: 1.2mm; } .refused { border: 1.5mm double #000; font-size: 12pt; }
.soft { font-size: 8.5pt; color: #333; }
table { border-collapse: collapse; width: 100%; margin: 0 0 3mm; font-size: 8.8pt; line-height: 1.25; }
caption { text-align: left; font-weight: 600; padding-bottom: 1mm; }
th, td { border: 0.2mm solid #777; padding: 0.7mm 1.5mm; text-align: left; vertical-align: top; font-weight: 400; overflow-wrap: anywhere; }
thead { display: table-header-group; } thead th { font-weight: 600; border-bottom-width: 0.5mm; } tr { break-inside: avoid; }
.number { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; overflow-wrap: normal; }
.facts th { width: 34%; }
.tick { display: inline-block; width: 3.6mm; height: 3.6mm; border: 0.35mm solid #000; margin-right: 2mm; vertical-align: -0.5mm; }
.checks { list-style: none; padding-left: 0; }
.apart .hold:first-child { border-top: 0; margin-top: 0; padding-top: 0; } .hold { border-top: 0.5mm solid #000; padding-top: 2mm; margin-top: 4mm; break-inside: avoid; }
.hold .head { display: flex; justify-content: space-between; gap: 4mm; align-items: baseline; }
.two { border: 0.4mm solid #000; padding: 0 1.5mm; font-weight: 700; white-space: nowrap; font-size: 9pt; }
.views { display: flex; gap: 3mm; margin-bottom: 2mm; } figure { margin: 0; flex: 1; } figure svg { width: 100%; height: auto; display: block; } figcaption { font-size: 8pt; }
.picture text { font: 10px sans-serif; }
.hidden { position: absolute; }
.tensions { font-size: 7.6pt; table-layout: fixed; } .tensions th, .tensions td { padding: 0.35mm 1mm; } .tensions .number { text-align: right; } .tensions thead th { white-space: normal; vertical-align: bottom; } .tensions th:nth-child(1) { width: 18%; } .tensions th:nth-child(2) { width: 26%; } .tensions th:nth-child(3) { width: 22%; }
.columns { display: grid; gap: 0 3mm; grid-template-columns: 1fr 1fr 1fr; align-items: start; }
.sign { table-layout: fixed; } .sign th:first-child { width: 40%; } .sign td { height: 9mm; } .steps { table-layout: fixed; } .steps th:nth-child(1) { width: 9mm; } .steps th:nth-child(3) { width: 16mm; } .steps th:nth-child(4) { width: 13mm; } .write { border-bottom: 0.2mm solid #000; display: inline-block; min-width: 28mm; height: 4.5mm; }
@media screen { body { background: #e8e8e8; } main { background: #fff; padding: 10mm; max-width: 206mm; } }
@page { size: A4; margin: 13mm 12mm 15mm; @bottom-left { content: "Simulated. It advises; the owner's engineer decides."; font: 8pt sans-serif; } @bottom-right { content: counter(page) " / " counter(pages); font: 8pt sans-serif; } }
@media print { main { max-width: none; padding: 0; } body { -webkit-print-color-adjust: exact; print-color-adjust: exact; } .apart { break-before: page; } }
`;
