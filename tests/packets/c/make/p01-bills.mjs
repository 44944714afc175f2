// The estimate and the bill of p01.
import { road } from './drives.mjs'
import { car, claimNumber, common, radarSerial, shop, vin } from './p01-job.mjs'
import { at, chrome, dollars, draw, esc, sum } from './tools.mjs'

const LINES = [
  ['Scan at check-in', 65, 'scan', []],
  ['Front bumper cover - renew', 612.4, 'repair', ['front-radar', 'ultrasonic']],
  ['Grille with radar bracket - renew', 288, 'repair', ['front-radar', 'ultrasonic']],
  [`Front radar unit - renew (S/N ${radarSerial})`, 1140, 'repair', ['front-radar']],
  ['Refinish bumper cover, two stage', 334.5, 'other', []],
  ['Front radar calibration, on the road', 310, 'calibration', ['front-radar']],
  ['Scan at check-out', 65, 'scan', []],
]
const operations = (lines, billed) =>
  lines.map(([text, amount, kind, calls]) => ({ text, calls, billed, amount, kind }))

// Estimate: line, operation code, description, hours and money; section bands; lettered totals.
export function estimate(out) {
  const lines = LINES.map(([text, ...rest]) => [text.replace(/ \(S.*/, ''), ...rest])
  const bands = [
    ['Diagnostics', [0, 6]],
    ['Front end', [1, 2, 3]],
    ['Paint', [4]],
    ['Driver assistance', [5]],
  ]
  const op = ['DIAG', 'R&R', 'R&R', 'R&R', 'RFN', 'CAL', 'DIAG'],
    hours = [0.5, 1.8, 0.9, 0.6, 2.6, 1.5, 0.5]
  let n = 0
  const body = bands
    .map(
      ([name, rows]) =>
        `<tr class="band"><td colspan="5">${name}</td></tr>` +
        rows
          .map(
            (i) =>
              `<tr><td>${++n}</td><td>${op[i]}</td><td>${esc(lines[i][0])}</td><td class="r">${hours[i].toFixed(1)}</td><td class="r">${dollars(lines[i][1])}</td></tr>`,
          )
          .join(''),
    )
    .join('')
  const net = sum(lines.map((l) => l[1]))
  chrome(
    `<!doctype html><meta charset="utf-8"><title>Preliminary estimate</title><style>@page{size:letter;margin:14mm}body{font:9pt "Liberation Mono",monospace;margin:0}h1{font:bold 14pt "Liberation Sans";margin:0 0 4mm;text-align:right}.two{display:flex;gap:10mm;margin-bottom:5mm}.two pre{margin:0;font:9pt/1.5 "Liberation Mono"}table{border-collapse:collapse;width:100%}th{text-align:left;border-bottom:1.5pt solid}td{padding:.8mm 1mm}.band td{background:#ddd;font-weight:bold}.r,th.r{text-align:right}</style>
<h1>PRELIMINARY ESTIMATE</h1><div class="two"><pre>${esc(shop)}
118 Thistledown Lane
Harrow Falls, NE

Written by   Hale Morrow
Written on   08/13/2026
Workfile     6614
Insurer      Pellgrove Casualty
Claim        ${claimNumber}
Loss date    08/04/2026</pre><pre>
Vehicle      ${car.year} ${car.make.toUpperCase()} ${car.model.toUpperCase()}
VIN          ${vin}
License      ${common.plate}  NE
Odometer     14,902 mi
Color        slate green</pre></div>
<table><tr><th>Line</th><th>Oper</th><th>Description</th><th class="r">Hours</th><th class="r">Price $</th></tr>${body}</table><pre style="text-align:right;font:9pt/1.5 'Liberation Mono'">
Subtotal   ${dollars(net)}
Sales tax 5.5 %      ${dollars(net * 0.055)}
Grand total   ${dollars(net * 1.055)}</pre>`,
    out,
  )
  return {
    kind: 'estimate',
    ...common,
    claimNumber,
    date: at('2026-08-13'),
    odometer: { value: 14902, unit: 'mi' },
    operations: operations(lines, false),
    pages: 1,
  }
}

// Invoice: a plain letter, each priced line a sentence with its amount at the right edge.
export async function bill(out) {
  const net = sum(LINES.map((l) => l[1]))
  await draw(
    out,
    {
      size: 'LETTER',
      margin: 72,
      info: { Title: 'Final bill 6614', Author: shop, CreationDate: new Date('2026-08-17T20:10:00Z') },
    },
    (d) => {
      d.font('Helvetica-Bold').fontSize(15).text(shop, 72, 60)
      d.font('Helvetica').fontSize(9).text('118 Thistledown Lane, Harrow Falls, NE', 72, 79)
      d.fontSize(11)
        .text('Final bill no. 6614-1', 380, 60, { align: 'right', width: 160 })
        .text('August 17, 2026', 380, 76, { align: 'right', width: 160 })
      d.text(`Repair order 6614 for the ${car.year} ${car.make} ${car.model}, tag ${common.plate},`, 72, 120)
        .text(`VIN ${vin}, 14,920 miles on return.`)
        .text(`Claim ${claimNumber}, Pellgrove Casualty.`)
      let y = 180
      const line = (text, amount, font = 'Helvetica') => {
        d.font(font)
          .fontSize(10.5)
          .text(text, 72, y, { width: 380, lineBreak: false })
          .text(amount, 440, y, { width: 100, align: 'right', lineBreak: false })
        y += 20
      }
      for (const [text, amount] of LINES) line(text, `$${dollars(amount)}`)
      y += 8
      d.moveTo(380, y - 6)
        .lineTo(540, y - 6)
        .stroke()
      line('Subtotal', `$${dollars(net)}`)
      line('Sales tax 5.5 %', `$${dollars(net * 0.055)}`)
      line('To pay', `$${dollars(net * 1.055)}`, 'Helvetica-Bold')
      d.font('Helvetica')
        .fontSize(10)
        .text(
          'The faults found at check-in were cleared once the new parts were on. The first road run of the radar was given up at 42 % because of traffic; the second reached 100 %.',
          72,
          y + 24,
          { width: 468 },
        )
      d.text('Looked over and released by Hale Morrow.', 72, y + 64)
    },
  )
  return {
    kind: 'invoice',
    ...common,
    claimNumber,
    date: at('2026-08-17'),
    odometer: { value: 14920, unit: 'mi' },
    operations: operations(LINES, true),
    pages: 1,
  }
}
