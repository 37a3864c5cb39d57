/** The look of the printed sheet: A4, black on white, nothing told by colour alone. */
export const printStyle = `
@page { size: A4; margin: 16mm 15mm 18mm; }
* { box-sizing: border-box; }
body { font: 10pt/1.35 "Liberation Sans", Arial, Helvetica, sans-serif; color: #000; background: #fff; margin: 0 auto; max-width: 180mm; }
header { border-bottom: 1.5pt solid #000; padding-bottom: 2mm; margin-bottom: 4mm; }
h1 { font-size: 15pt; margin: 0 0 2mm; }
h2 { font-size: 11pt; margin: 0 0 1mm; border-bottom: .5pt solid #666; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: 0 4mm; margin: 0; }
dt { font-weight: bold; }
dd { margin: 0; overflow-wrap: anywhere; }
section { break-inside: avoid; margin: 0 0 4mm; }
.findings { columns: 2; column-gap: 8mm; }
.urgent { border: 1.5pt solid #000; padding: 2mm 3mm; }
.remark { font-size: 8.5pt; margin: 0 0 1mm; }
main > .remark { margin: 0 0 4mm; }
table { border-collapse: collapse; width: 100%; margin-bottom: 2mm; }
th:first-child { width: 42%; }
thead th:last-child { width: 5mm; }
th { text-align: left; font-weight: normal; }
thead th { font-size: 8.5pt; border-bottom: .5pt solid #666; }
td, th { padding: .4mm 1.5mm .4mm 0; vertical-align: top; }
td.abnormal { font-weight: bold; }
tr.unequal td { border-bottom: .5pt solid #000; }
ul { list-style: none; margin: 0; padding: 0; }
li { padding-left: 4mm; text-indent: -4mm; overflow-wrap: anywhere; }
li.reason { padding-left: 9mm; font-size: 9pt; }
.drawings { display: flex; gap: 6mm; break-inside: avoid; margin-bottom: 4mm; }
.drawings figure { flex: 1; margin: 0; }
.drawings svg { width: 100%; height: auto; max-height: 110mm; }
figcaption { font-size: 8.5pt; }
.sign { display: grid; grid-template-columns: 1fr 1fr 1fr; gap: 8mm; margin-top: 10mm; }
.sign div { border-top: .5pt solid #000; font-size: 8.5pt; }
@media screen { body { padding: 8mm; } }
@media (max-width: 40rem) { .findings { columns: 1; } .drawings { display: block; } }
`;
