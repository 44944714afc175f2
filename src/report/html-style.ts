/** The looks of the HTML report: a ledger with its verdicts in the margin, for screen, phone, dark rooms and paper. */
export const style = `
:root { color-scheme: light dark; --paper: #f5f4ef; --sheet: #fdfcf9; --ink: #22262b; --quiet: #565c65; --line: #d8d5cb;
  --link: #1d4f73; --fail: #98291c; --warn: #744d00; --pass: #28593a; --open: #4b525d; --mark: #ffb000; }
@media (prefers-color-scheme: dark) { :root { --paper: #15171a; --sheet: #1c1f23; --ink: #e3e1da; --quiet: #a6abb3;
  --line: #363a41; --link: #9cc6e6; --fail: #f29a8c; --warn: #e2b55c; --pass: #8fca9d; --open: #b3bac4; } }
* { box-sizing: border-box; }
html { font: 15px/1.45 system-ui, "Segoe UI", "Noto Sans", "DejaVu Sans", sans-serif; -webkit-text-size-adjust: 100%; }
body { margin: 0; background: var(--paper); color: var(--ink); font-variant-numeric: tabular-nums; overflow-wrap: anywhere; }
a { color: var(--link); }
:focus-visible { outline: 2px solid var(--link); outline-offset: 2px; }
.skip { position: absolute; left: -100rem; }
.hidden { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
.skip:focus { position: static; display: block; padding: .4rem 1rem; }
.page { max-width: 78rem; margin: 0 auto; padding: 1.2rem 1.4rem 2.5rem; }
header { border-top: .5rem solid var(--tone); background: var(--sheet); border-bottom: 1px solid var(--line);
  padding: 1rem 1.2rem 1.1rem; display: grid; grid-template-columns: 11rem 1fr; gap: .2rem 1.4rem; }
.stamp { grid-row: 1 / span 3; align-self: start; border: 2px solid var(--tone); color: var(--tone); text-align: center;
  padding: .7rem .4rem; font-size: 1.7rem; font-weight: 700; letter-spacing: .12em; margin: 0; }
h1 { font-size: 1.35rem; line-height: 1.25; margin: 0; }
header p { margin: 0; }
.meaning { font-size: 1.05rem; }
h2 { font-size: 1.05rem; margin: 0 0 .6rem; padding-bottom: .25rem; border-bottom: 2px solid var(--ink); }
h3 { font-size: .92rem; margin: 1.1rem 0 .2rem; color: var(--quiet); font-weight: 600; }
h4 { font-size: 1rem; margin: 0 0 .5rem; line-height: 1.4; }
.frame { display: grid; grid-template-columns: 11rem minmax(0, 1fr); gap: 1.4rem; margin-top: 1.4rem; padding-left: 1.2rem; }
nav { position: sticky; top: 1rem; align-self: start; font-size: .87rem; }
nav ol { list-style: none; margin: 0; padding: 0; }
nav li { border-top: 1px solid var(--line); }
nav a { display: block; padding: .3rem 0; text-decoration: none; }
nav a:hover { text-decoration: underline; }
section { margin-bottom: 2rem; }
.facts { display: grid; grid-template-columns: max-content minmax(0, 1fr); gap: .15rem .9rem; margin: 0; }
.facts dt { color: var(--quiet); font-size: .87rem; padding-top: .06rem; }
.facts dd { margin: 0; }
.facts dd p { margin: 0 0 .15rem; }
header .facts { margin-top: .5rem; }
.fail { --tone: var(--fail); } .warn { --tone: var(--warn); } .pass { --tone: var(--pass); } .not-checked { --tone: var(--open); }
.counts { display: flex; flex-wrap: wrap; gap: 0 1.6rem; list-style: none; padding: 0; margin: .5rem 0 0; }
.tag { color: var(--tone); font-weight: 700; font-size: .8rem; letter-spacing: .06em; white-space: nowrap; }
.tag::before, .stamp::before { content: "\\2013\\a0"; content: "\\2013\\a0" / ""; }
.fail > .tag::before, .stamp.fail::before { content: "\\2715\\a0"; content: "\\2715\\a0" / ""; }
.warn > .tag::before, .stamp.warn::before { content: "\\25b2\\a0"; content: "\\25b2\\a0" / ""; }
.pass > .tag::before, .stamp.pass::before { content: "\\2713\\a0"; content: "\\2713\\a0" / ""; }
.finding { display: grid; grid-template-columns: 5.2rem minmax(0, 1fr); gap: 0 .9rem; background: var(--sheet);
  border: 1px solid var(--line); border-left: .35rem solid var(--tone); padding: .75rem .9rem .85rem; margin-top: .6rem; }
.finding .number { color: var(--quiet); font-weight: 400; letter-spacing: 0; font-size: .82rem; display: block; }
.finding > .tag { padding-top: .15rem; }
.list { margin: 0; padding: 0; list-style: none; }
.list > li { display: grid; grid-template-columns: 5.2rem minmax(0, 1fr); gap: 0 .9rem; padding: .35rem 0;
  border-bottom: 1px solid var(--line); }
.pair { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 24rem), 1fr)); gap: 0 1.8rem; align-items: start; }
.pair h3 { color: var(--ink); font-size: .95rem; }
.contrasts { margin: .45rem 0 .55rem; }
.beside { display: grid; grid-template-columns: minmax(0, 1fr) minmax(0, 1fr); gap: 0 .9rem; border: 1px solid var(--line);
  padding: .3rem .6rem .4rem; margin-top: -1px; overflow-wrap: anywhere; }
.beside > .quiet { grid-column: 1 / -1; } .beside p { margin: 0; } .beside p + p + p { border-left: 1px solid var(--line); padding-left: .9rem; }
.sides { display: grid; grid-template-columns: minmax(0, 1fr) minmax(0, 1fr); gap: 0 .9rem; }
small, .quiet { color: var(--quiet); font-size: .85rem; font-weight: 400; }
.plain { margin: 0; padding-left: 1.1rem; }
.plain li { margin: .12rem 0; }
.columns { columns: 27rem; column-gap: 2rem; }
.columns li { break-inside: avoid; }
table { border-collapse: collapse; width: 100%; }
caption { text-align: left; font-weight: 600; font-size: .92rem; padding: .8rem 0 .2rem; }
th, td { text-align: left; vertical-align: top; padding: .28rem .8rem .28rem 0; border-bottom: 1px solid var(--line); }
thead th { color: var(--quiet); font-size: .82rem; font-weight: 600; }
tbody th { font-weight: 600; }
.times { table-layout: fixed; } .times th:nth-child(1) { width: 27%; } .times th:nth-child(3) { width: 20%; }
.times .bar { width: 27%; padding-right: 0; vertical-align: middle; }
.bar svg { display: block; width: 100%; height: .8rem; }
.bar .may { fill: var(--link); opacity: .32; } .bar .sure { fill: var(--link); } .bar line { stroke: var(--line); }
.hours { position: relative; display: block; height: 1.1rem; font-weight: 400; }
.hours span { position: absolute; transform: translateX(-50%); }
code { font: .76rem/1.5 ui-monospace, "DejaVu Sans Mono", Consolas, monospace; }
figure { margin: .7rem 0 0; max-width: 46rem; }
figcaption { font-size: .85rem; color: var(--quiet); margin-bottom: .2rem; }
.picture { position: relative; border: 1px solid var(--line); background: #fff; }
.picture img { display: block; width: 100%; height: auto; }
.picture svg { position: absolute; inset: 0; width: 100%; height: 100%; }
.picture rect { fill: var(--mark); fill-opacity: .28; stroke: #8a5a00; stroke-width: 1; vector-effect: non-scaling-stroke; }
.photo { max-width: 26rem; }
.scroll { overflow-x: auto; }
.stamps { grid-row: 1 / span 3; } .stamps .stamp { font-size: 1.5rem; margin: 0 0 .5rem; }
.stamp > span { display: block; font-size: .72rem; font-weight: 400; letter-spacing: .04em; }
header > .pair .facts { margin: 0 0 .5rem; } header > .pair { margin-top: .6rem; }
.change { background: var(--sheet); border: 1px solid var(--line); padding: .6rem .9rem .7rem; margin-top: .6rem; }
.change h3, .finding h3 { color: var(--ink); font-size: .95rem; margin: 0 0 .4rem; }
.change p { margin: 0; } .value { font-weight: 600; }
.turned > .tag { white-space: normal; }
.words { table-layout: fixed; } del { text-decoration-color: var(--fail); } ins { text-decoration-color: var(--pass); }
footer { border-top: 1px solid var(--line); padding-top: .6rem; font-size: .85rem; color: var(--quiet); }
@media screen and (max-width: 52rem) { .page { padding: .6rem .7rem 2rem; } .frame { display: block; padding: 0; } nav { display: none; }
  header { display: block; padding: .8rem; } .stamp { font-size: 1.3rem; margin-bottom: .6rem; } .times .bar { display: none; }
  .finding, .list > li { grid-template-columns: minmax(0, 1fr); } .finding .number { display: inline; margin-left: .5rem; }
  .finding > .tag { padding-bottom: .3rem; } .finding { padding: .6rem .7rem; }
  figure:not(.photo) .picture { min-width: 38rem; } .sides { grid-template-columns: minmax(0, 1fr); }
  .finding .facts { grid-template-columns: minmax(0, 1fr); } .finding .facts dt { margin-top: .35rem; } }
@page { margin: 15mm 14mm 17mm; @bottom-right { content: "page " counter(page) " of " counter(pages); font: 8pt sans-serif; } }
@media print { :root { color-scheme: light; --paper: #fff; --sheet: #fff; --ink: #000; --quiet: #444; --line: #bbb;
  --link: #123; --fail: #8a1f14; --warn: #6b4700; --pass: #1f4d30; --open: #444; }
  html { font-size: 9.5pt; } nav, .skip { display: none; } .page { max-width: none; padding: 0; } .frame { display: block; padding: 0; }
  h2, h3, h4, dt, caption, figcaption, thead { break-after: avoid; } figure, tr, .list > li, header { break-inside: avoid; }
  p, li { orphans: 2; widows: 2; }
  .picture, .finding, .stamp, .bar { print-color-adjust: exact; } a { text-decoration: none; } }
`
