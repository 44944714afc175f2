// The instruments of packet 1: tablet scan tool (chromium), calibration session report (chromium), aligner (pdf-lib).
import { writeFileSync } from 'node:fs'
import { PDFDocument, rgb, StandardFonts } from '@cantoo/pdf-lib'
import { chromiumPdf, esc, group, show } from './lib.mjs'

/** Tablet scan tool: logo block, vehicle block in two columns, table of systems, then each system's codes with freeze frame. */
export function tabletScan(path, d) {
  const stamp = show(d.local, 'MM/dd/yyyy hh:mm a')
  const faulty = d.modules.filter((m) => m[1] === 'fault').length
  const count = (name) => d.codes.filter((c) => c.module === name).length
  const pair = (k, v) => `<tr><td class="k">${k}</td><td>${esc(v)}</td></tr>`
  chromiumPdf(`<title>Vehicle Diagnostic Report</title><style>
@page{size:letter;margin:13mm 14mm 17mm;@bottom-left{content:"Orvex Pad 9   |   Report ${d.report}";font:7.5pt "Liberation Sans";color:#777}@bottom-right{content:"Page " counter(page) " of " counter(pages);font:7.5pt "Liberation Sans";color:#777}}
body{font:9pt/1.35 "Liberation Sans";color:#222;margin:0}table{border-collapse:collapse;width:100%}
.top{display:flex;justify-content:space-between;align-items:center;border-bottom:3px solid #d2601a;padding-bottom:7px}
.logo{display:flex;align-items:center;gap:9px;font:bold 17pt "Liberation Sans";letter-spacing:1px}.logo svg{width:34px;height:34px}
.shop{text-align:right;font-size:8pt;line-height:1.3}h1{font-size:13pt;text-align:center;margin:12px 0 8px}
.two{display:flex;gap:18px}.two>div{flex:1}.two td{padding:2px 4px;vertical-align:top;border-bottom:1px dotted #ccc}.two .k{color:#666;width:38%}
h2{font-size:10pt;background:#f0e7df;padding:4px 7px;margin:14px 0 4px}h3{font-size:9.5pt;margin:12px 0 3px;color:#8f3c08}
.sys th{background:#4a4a4a;color:#fff;text-align:left;padding:3px 6px;font-size:8.5pt}.sys td{padding:2.6px 6px;border-bottom:1px solid #ddd}.sys td:nth-child(n+3),.sys th:nth-child(n+3){text-align:center}
.bad{color:#c4161c;font-weight:bold}.na{color:#888}.dtc th{text-align:left;border-bottom:1.2px solid #444;padding:2px 6px;font-size:8.5pt}.dtc td{padding:3px 6px;vertical-align:top;border-bottom:1px solid #eee}
.ff td{font-size:7.5pt;color:#555;background:#fafafa;padding:2px 6px 4px 20px}.sum{font-size:9pt;margin:6px 0}</style>
<div class="top"><div class="logo"><svg viewBox="0 0 40 40"><circle cx="20" cy="20" r="18" fill="#d2601a"/><path d="M9 22h6l3-9 5 15 3-8h5" fill="none" stroke="#fff" stroke-width="3"/></svg>ORVEX</div><div class="shop"><b>${d.shop[0]}</b><br>${d.shop.slice(1).join('<br>')}</div></div>
<h1>Vehicle Diagnostic Report</h1>
<div class="two"><div><table>${pair('Report type', d.type)}${pair('Date / Time', stamp)}${pair('VIN', d.vehicle.vin)}${pair('Year / Make / Model', `${d.vehicle.year} ${d.vehicle.make} ${d.vehicle.model}`)}${pair('License plate', d.vehicle.plate)}${pair('Odometer', `${group(d.odo)} mi`)}</table></div>
<div><table>${pair('RO number', d.job)}${pair('Claim number', d.claim)}${pair('Technician', d.tech)}${pair('Tool S/N', d.serial)}${pair('App version', d.software)}${pair('Battery voltage', `${d.volts} V`)}</table></div></div>
<h2>System Summary</h2><div class="sum">Systems scanned: ${d.modules.filter((m) => m[1] !== 'not-fitted').length} &nbsp;&nbsp; Systems with faults: ${faulty} &nbsp;&nbsp; Total DTCs: ${d.codes.length}</div>
<table class="sys"><thead><tr><th style="width:26px">#</th><th>System</th><th style="width:120px">Status</th><th style="width:90px">Fault codes</th></tr></thead>
${d.modules.map(([n, s], i) => `<tr><td>${i + 1}</td><td>${esc(n)}</td><td class="${s === 'fault' ? 'bad' : s === 'not-fitted' ? 'na' : ''}">${{ fault: 'Fault', 'no-fault': 'Pass', 'not-fitted': 'Not equipped', 'no-response': 'No response' }[s]}</td><td>${s === 'not-fitted' ? '–' : count(n)}</td></tr>`).join('')}</table>
${d.codes.length ? `<h2>Trouble Codes</h2>${[...new Set(d.codes.map((c) => c.module))].map((m) => `<h3>${esc(m)} (${count(m)})</h3><table class="dtc"><tr><th style="width:90px">Code</th><th>Description</th><th style="width:140px">Status</th></tr>${d.codes.filter((c) => c.module === m).map((c) => `<tr><td><b>${c.code}</b></td><td>${esc(c.text)}</td><td>${c.word}</td></tr>${c.frame ? `<tr class="ff"><td colspan="3">Freeze frame: ${esc(c.frame)}</td></tr>` : ''}`).join('')}</table>`).join('')}` : '<h2>Trouble Codes</h2><p>No trouble codes were reported by any system.</p>'}
<p style="font-size:7.5pt;color:#777;margin-top:16px">Results are as reported by the vehicle's control modules at the time of the test. Refer to the vehicle maker's service information before any repair.</p>`, path, d.local, d.offset)
}

/** A session report over several calibrations: numbered bars, times at the left, measured values at the right. */
export function sessionReport(path, d) {
  const t = (l) => show(l, 'MM/dd/yyyy hh:mm:ss a')
  chromiumPdf(`<title>ADAS Session Report</title><style>
@page{size:letter;margin:12mm 13mm 15mm;@bottom-center{content:"Ivarro Assist Link  -  session ${d.session}  -  page " counter(page) "/" counter(pages);font:7pt "DejaVu Sans";color:#888}}
body{font:8.2pt/1.4 "DejaVu Sans";color:#1d2733;margin:0}table{border-collapse:collapse}h1{font-weight:normal;font-size:16pt;margin:0 0 2px;color:#1e4f91}.sub{color:#67768a;margin-bottom:10px}
.head{width:100%;border:1px solid #b8c4d4}.head td{padding:4px 7px;border:1px solid #dde4ee;width:25%;vertical-align:top}.head b{display:block;font-size:6.6pt;font-weight:normal;color:#67768a}
.bar{background:#1e4f91;color:#fff;display:flex;align-items:center;margin-top:14px;padding:4px 8px;font-size:9.5pt}.bar i{font-style:normal;background:#fff;color:#1e4f91;border-radius:50%;width:17px;height:17px;text-align:center;line-height:17px;margin-right:8px;font-size:8pt}.bar span{margin-left:auto;background:#2f9e44;padding:1px 11px;border-radius:3px;font-size:8.5pt}
.cal{display:flex;gap:16px;border:1px solid #b8c4d4;border-top:0;padding:8px;break-inside:avoid}.kv td{padding:1.8px 4px;vertical-align:top}.kv td:first-child{color:#67768a;width:96px}.kv{width:290px;flex:none}
.pb{width:120px;height:9px;background:#e6ebf2;display:inline-block;vertical-align:middle;margin-right:6px}.pb u{display:block;height:9px;background:#2f9e44}
.val{flex:1}.val th{font-weight:normal;text-align:left;color:#67768a;border-bottom:1px solid #b8c4d4;padding:2px 5px}.val td{padding:2.5px 5px;border-bottom:1px solid #edf1f6}.val th+th,.val td+td{text-align:right}section{break-inside:avoid}</style>
<h1>ADAS Session Report</h1><div class="sub">Printed ${show(d.local, 'MM/dd/yyyy hh:mm a')}</div>
<table class="head">${d.head.map((r) => `<tr>${r.map(([k, v]) => `<td><b>${k}</b>${esc(v)}</td>`).join('')}</tr>`).join('')}</table>
${d.cals.map((c, i) => `<section><div class="bar"><i>${i + 1}</i>${esc(c.title)}<span>${c.result}</span></div><div class="cal"><table class="kv"><tr><td>Technician</td><td>${d.tech}</td></tr><tr><td>Start</td><td>${t(c.started)}</td></tr><tr><td>Stop</td><td>${t(c.ended)}</td></tr><tr><td>Result</td><td>${c.words}</td></tr><tr><td>Progress</td><td><span class="pb"><u style="width:${c.progress}%"></u></span>${c.progress}%</td></tr><tr><td>Attempts</td><td>${c.attempts}</td></tr>${c.extra.map(([k, v]) => `<tr><td>${k}</td><td>${esc(v)}</td></tr>`).join('')}</table>
<table class="val"><tr>${c.columns.map((h) => `<th>${h}</th>`).join('')}</tr>${c.rows.map((r) => `<tr>${r.map((x) => `<td>${esc(x)}</td>`).join('')}</tr>`).join('')}</table></div></section>`).join('')}
<p style="color:#67768a;font-size:7pt;margin-top:14px">${esc(d.foot)}</p>`, path, d.local, d.offset)
}

/** Aligner: each angle a coloured bar with marker; below it least, nominal and most; before and after. */
export async function barAligner(path, d) {
  const doc = await PDFDocument.create()
  const when = new Date(`${d.local}:00${d.offset}`)
  doc.setTitle('Alignment Results'); doc.setProducer('Castrow V6 print service'); doc.setCreator('Castrow V6'); doc.setCreationDate(when); doc.setModificationDate(when)
  const page = doc.addPage([612, 792]), sans = await doc.embedFont(StandardFonts.Helvetica), bold = await doc.embedFont(StandardFonts.HelveticaBold)
  const ink = rgb(0.13, 0.13, 0.15), grey = rgb(0.45, 0.45, 0.48)
  const text = (s, x, y, size = 8.5, font = sans, color = ink) => page.drawText(s, { x, y, size, font, color })
  const right = (s, x, y, size = 8.5, font = sans, color = ink) => text(s, x - font.widthOfTextAtSize(s, size), y, size, font, color)
  const middle = (s, x, y, size = 8.5, font = sans, color = ink) => text(s, x - font.widthOfTextAtSize(s, size) / 2, y, size, font, color)
  page.drawRectangle({ x: 36, y: 732, width: 540, height: 30, color: rgb(0.1, 0.1, 0.12) })
  text('ALIGNMENT RESULTS', 46, 742, 14, bold, rgb(1, 1, 1)); right(d.shop, 566, 743, 9, sans, rgb(1, 1, 1))
  d.head.forEach(([k, v], i) => { const x = i % 2 ? 316 : 46, y = 714 - Math.floor(i / 2) * 13; text(`${k}:`, x, y, 8, sans, grey); text(v, x + 82, y, 8.5, sans) })
  let y = 714 - Math.ceil(d.head.length / 2) * 13 - 8
  for (const [title, rows] of d.axles) {
    text(title, 46, y - 4, 11, bold); text('Before', 170, y - 3, 8, sans, grey); text('After', 522, y - 3, 8, sans, grey)
    page.drawLine({ start: { x: 46, y: y - 9 }, end: { x: 566, y: y - 9 }, thickness: 0.8, color: ink })
    y -= 26
    for (const [name, least, nominal, most, before, after] of rows) {
      const x0 = 230, w = 250, scale = (v) => x0 + w * Math.max(0.02, Math.min(0.98, 0.2 + (0.6 * (v - least)) / (most - least)))
      text(name, 46, y, 9, sans)
      const bad = before < least || before > most
      right(`${before.toFixed(2)}°`, 198, y, 9, sans, bad ? rgb(0.78, 0.08, 0.1) : ink)
      page.drawRectangle({ x: x0, y: y - 1, width: w, height: 9, color: rgb(0.86, 0.24, 0.2) })
      page.drawRectangle({ x: scale(least), y: y - 1, width: scale(most) - scale(least), height: 9, color: rgb(0.24, 0.65, 0.3) })
      page.drawRectangle({ x: scale(after) - 1.5, y: y - 3, width: 3, height: 13, color: ink })
      middle(`${least.toFixed(2)}°`, scale(least), y - 10, 6.5, sans, grey); middle(`${nominal.toFixed(2)}°`, scale(nominal), y - 10, 6.5, sans, grey); middle(`${most.toFixed(2)}°`, scale(most), y - 10, 6.5, sans, grey)
      right(`${after.toFixed(2)}°`, 548, y, 9, bold)
      y -= 25
    }
    y -= 6
  }
  text('Green: within the vehicle maker’s range. Under each bar: minimum, nominal, maximum.'.replace('’', "'"), 46, y, 7.5, sans, grey)
  text(d.foot, 46, y - 13, 8.5, sans)
  writeFileSync(path, await doc.save({ useObjectStreams: false }))
}
