/** What a cut sheet adds to the report's style: paper for the bench, and pages by paper size. */
export const cutSheetStyle = (paper: "a4" | "letter") => `
@page { size: ${paper === "a4" ? "A4" : "letter"}; margin: 14mm; }
body { max-width: 182mm; padding: 0 0 2rem; font-size: 0.95rem; }
h1 { font-size: 1.7rem; } h2 { font-size: 1.2rem; margin-top: 1.6rem; } h3 { font-size: 1rem; margin: 1rem 0 0.3rem; }
table { font-size: 0.8rem; } .box { display: inline-block; width: 4mm; height: 4mm; border: 0.35mm solid currentColor; vertical-align: -0.5mm; margin-right: 1.5mm; }
td.blank { border: 1px solid var(--line); min-width: 13mm; height: 9mm; } .as-made th { font-weight: 600; padding-right: 0.3rem; }
.steps { padding-left: 1.4rem; display: grid; grid-template-columns: 1fr 1fr; gap: 3mm 9mm; } .steps li { break-inside: avoid; } .step-figure { display: block; width: 62mm; max-width: 100%; height: auto; margin: 0 0 1mm; }
.strip { display: block; margin: 0 0 2.5mm; overflow: visible; font-family: var(--figures); } .strips { color: #000; background: #fff; padding: 2mm 0; overflow-x: auto; }
.schematic { width: 100%; height: auto; } .labels { display: grid; grid-template-columns: repeat(2, 84mm); gap: 3mm; }
.tag { display: grid; grid-template-columns: 26mm 1fr; gap: 2mm; border: 0.3mm dashed var(--soft); padding: 2mm; break-inside: avoid; color: #000; background: #fff; font: 8.5pt/1.3 var(--figures); }
.tag b { font-size: 14pt; display: block; } .tag .qr { display: block; }
.new-page { break-before: page; }
@media print { body { font-size: 9.5pt; } h1 { font-size: 18pt; } h2 { font-size: 13pt; margin-top: 1rem; } .strip, .tag, svg { break-inside: avoid; } .scroll table { min-width: 0; } }
`;
