package report

import "falloff/cmd/internal/report/draw"

// pageStyle is the style sheet of every page: one column on a phone, two on a desk and on
// paper, dim and warm in a dark room, black on white in print.
func pageStyle() string { return pageRules + draw.Strokes() }

const pageRules = `
:root{--ink:#1a1a1a;--soft:#555;--faint:#bbb;--ground:#fff;--panel:#f5f4f1;--warn:#1a1a1a}
@media screen and (prefers-color-scheme:dark){:root{--ink:#d8cfc0;--soft:#a89f90;--faint:#4a453d;--ground:#14120f;--panel:#1e1b17;--warn:#e6d9bd}}
*{box-sizing:border-box}
html{font-size:100%;-webkit-text-size-adjust:100%;text-size-adjust:100%}
body{margin:0;background:var(--ground);color:var(--ink);font:1rem/1.45 system-ui,"Segoe UI",Roboto,"Helvetica Neue",Arial,"DejaVu Sans",sans-serif}
main{max-width:72rem;margin:0 auto;padding:1rem}
h1{font-size:1.6rem;line-height:1.2;margin:0 0 .3rem}
h2{font-size:1.2rem;line-height:1.25;margin:2rem 0 .6rem;padding-top:.5rem;border-top:2px solid var(--ink)}
h3{font-size:1rem;line-height:1.3;margin:1rem 0 .3rem}
p{margin:.3rem 0 .6rem}ul,ol{margin:.3rem 0 .8rem;padding-left:1.3rem}li{margin:.2rem 0}
a{color:inherit}
.soft,figcaption,dt,thead th{color:var(--soft)}
.verdict{font-weight:700}
.dials{display:grid;grid-template-columns:repeat(auto-fit,minmax(8.2rem,1fr));gap:.5rem;margin:.8rem 0}
.dials div{background:var(--panel);padding:.4rem .6rem;border-left:3px solid var(--ink)}
.dials dt{font-size:.8rem}.dials dd{margin:0;font-weight:700;font-size:1.05rem}
.pair{display:grid;grid-template-columns:1fr;gap:1rem}
figure{margin:0 0 1rem;break-inside:avoid}
figcaption{font-size:.85rem;line-height:1.35;margin-top:.2rem}
svg.drawing{display:block;width:100%;height:auto;max-width:44rem;margin:0 auto}
table{border-collapse:collapse;width:100%;font-size:.92rem;margin-bottom:.8rem}
th,td{text-align:left;vertical-align:top;padding:.3rem .5rem .3rem 0;border-bottom:1px solid var(--faint)}
thead th{font-weight:600;font-size:.82rem}
.steps{list-style:none;padding:0;display:grid;grid-template-columns:1fr;gap:.8rem}
.steps{align-items:start}.step{break-inside:avoid;margin:0;padding:.6rem .8rem;background:var(--panel);border-left:3px solid var(--ink)}
.step h3{margin:0 0 .2rem}
.step dl{display:grid;gap:.1rem;margin:.4rem 0}
.step dl div{display:grid;grid-template-columns:5.2rem 1fr;gap:.5rem}
.step dd{margin:0}
.badge-text{display:inline-block;min-width:1.5em;height:1.5em;line-height:1.45em;text-align:center;border:1.5px solid var(--ink);border-radius:1em;font-weight:700;margin-right:.35em}
.cautions{border:2px solid var(--warn);padding:.2rem .9rem .5rem;margin:1.2rem 0;break-inside:avoid}
.cautions h2{border:0;margin-top:.4rem;padding:0}
.tick{list-style:none;padding-left:0}.tick li{padding-left:1.6em;text-indent:-1.6em}.tick li::before{content:"\2610\00a0\00a0"}
.keep{break-inside:avoid}.cases{columns:15rem;column-gap:2rem}.case{break-inside:avoid}
.argument ol,.argument ul{padding-left:1.2rem}.quote{font-family:ui-monospace,Menlo,Consolas,"DejaVu Sans Mono",monospace;font-size:.88rem;overflow-wrap:anywhere}
code{font-family:ui-monospace,Menlo,Consolas,"DejaVu Sans Mono",monospace;font-size:.9em;overflow-wrap:anywhere}
.cards{display:grid;grid-template-columns:repeat(auto-fit,minmax(17rem,1fr));gap:1rem}
.card{background:var(--panel);padding:.7rem .9rem;border-top:3px solid var(--ink);break-inside:avoid}
.card h2{border:0;margin:0 0 .3rem;padding:0}.card h3{margin:.2rem 0}
footer{margin-top:2rem;border-top:1px solid var(--faint);font-size:.85rem;color:var(--soft)}
@media screen and (max-width:44rem){
main{padding:.6rem}#build{display:flex;flex-direction:column}#build>table{order:2}
table.stack thead{position:absolute;clip-path:inset(50%);width:1px;height:1px;overflow:hidden}
table.stack,table.stack tbody{display:block}table.stack tr{display:block;padding:.5rem 0;border-bottom:2px solid var(--faint)}
table.stack td{display:grid;grid-template-columns:6.2rem 1fr;gap:.5rem;border:0;padding:.08rem 0}
table.stack td::before{content:attr(data-head);color:var(--soft);font-size:.88em}
table.stack td:empty{display:none}
}
@media screen and (min-width:52rem){.pair,.steps{grid-template-columns:1fr 1fr;column-gap:2rem}.steps{column-gap:1rem}}
@page{margin:12mm}
@media print{
html{font-size:8pt}body{background:#fff;color:#000}main{max-width:none;padding:0}
h1{font-size:15pt}h2{margin:1rem 0 .4rem;break-after:avoid}h3{break-after:avoid}
.pair{grid-template-columns:1fr 1fr;column-gap:6mm;row-gap:0}
figure{margin-bottom:2mm}table{font-size:7.6pt;margin-bottom:2mm}th,td{padding:.5mm 1.5mm .5mm 0}
.dials{grid-template-columns:repeat(7,1fr);gap:1.5mm;margin:1.5mm 0 3mm}.dials div{padding:.8mm 1.5mm}.dials dd{font-size:9pt}
.page{break-before:page}.page h2{border-top:0;margin-top:0}
tr{break-inside:avoid}
svg.drawing{max-width:none}
.steps{display:block;columns:2;column-gap:6mm}
.step{margin:0 0 2mm}.step dl{margin:1mm 0}.step p{margin:.5mm 0}
figcaption{font-size:7pt}.verdict,header p{margin:.5mm 0}
.dials div,.step,.card{background:#f5f4f1;-webkit-print-color-adjust:exact;print-color-adjust:exact}
svg.drawing{-webkit-print-color-adjust:exact;print-color-adjust:exact}
}
`
