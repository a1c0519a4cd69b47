/** For the screen and for A4 or Letter paper; without colour it says the same. */
export const REPORT_STYLE = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 60rem; padding: 1rem; color: #151515; background: #fff; font: 15px/1.45 system-ui, sans-serif; overflow-wrap: break-word; }
h1 { font-size: 1.7rem; margin: 0 0 .2rem; }
h2 { font-size: 1.25rem; margin: 2rem 0 .5rem; border-bottom: 2px solid #151515; }
h3 { font-size: 1.05rem; margin: 1.4rem 0 .3rem; }
p, ul { margin: .4rem 0; }
table { border-collapse: collapse; width: 100%; margin: .5rem 0 1rem; font-size: 13px; }
caption { text-align: left; font-weight: 600; padding: .2rem 0; }
th, td { border: 1px solid #999; padding: .18rem .4rem; text-align: left; vertical-align: top; font-variant-numeric: tabular-nums; }
thead th { background: #eee; }
.wide { overflow-x: auto; }
.caution { border: 3px solid #151515; padding: .5rem .8rem; margin: 1rem 0; }
.facts { display: grid; grid-template-columns: max-content 1fr; gap: .1rem 1rem; margin: .5rem 0; }
.facts dt { font-weight: 600; }
.facts dd { margin: 0; }
.shot { break-before: page; }
.verdict { font-weight: 700; }
.beside { display: flex; flex-wrap: wrap; gap: .5rem; }
.beside figure { flex: 1 1 18rem; }
figure { margin: .5rem 0; break-inside: avoid; }
svg { max-width: 100%; height: auto; }
pre { border: 1px solid #999; padding: .6rem; font-size: 11.5px; white-space: pre-wrap; }
@page { margin: 16mm 14mm; }
@media print {
  body { max-width: none; padding: 0; font-size: 10.5pt; }
  table { font-size: 7.8pt; margin: .3rem 0 .6rem; }
  th, td { padding: .08rem .3rem; }
  .beside { flex-wrap: nowrap; }
  tr, figure, .caution, h2, h3 { break-inside: avoid; }
  h2, h3, caption, h2 + p { break-after: avoid; }
  .shot h2 { margin-top: 0; }
  .shot figure { margin: .15rem 0; }
  thead { display: table-header-group; }
  .wide { overflow: visible; }
  a { color: inherit; text-decoration: none; }
}
@media (max-width: 34rem) { .facts { grid-template-columns: 1fr; } .facts dt { margin-top: .3rem; } }
`;
