// The invoice of p05.
import { road } from './drives.mjs'
import { car, common, shop, vin } from './p05-job.mjs'
import { at, chrome, dollars, esc, sum } from './tools.mjs'

const LINES = [
  [
    'Pre-repair scan',
    75,
    'scan',
    [],
    'Vehicle towed in after a front collision.',
    'Not noted.',
    'All controllers read and list kept.',
  ],
  [
    'Front bumper, steel - replace',
    890,
    'repair',
    ['front-radar', 'ultrasonic'],
    'Bumper bent to the left.',
    'Collision.',
    'New bumper and radar bracket bolted up.',
  ],
  [
    'Windshield - replace',
    640,
    'repair',
    ['front-camera'],
    'Cracked across the camera window.',
    'Collision.',
    'New glass set, cured overnight.',
  ],
  [
    'Four-wheel alignment',
    129.95,
    'alignment',
    ['steering-angle', 'front-camera', 'front-radar'],
    'Steering wheel off to the right.',
    'Tie rod bent.',
    'Aligned to specification.',
  ],
  [
    'Front camera calibration, static',
    295,
    'calibration',
    ['front-camera'],
    'Camera off after new glass.',
    'Glass replaced.',
    'Calibrated with pattern frame.',
  ],
  [
    'Front radar calibration, dynamic',
    295,
    'calibration',
    ['front-radar'],
    'Radar off after new bracket.',
    'Bracket replaced.',
    'Learned on the road.',
  ],
  ['Post-repair scan', 75, 'scan', [], 'Final check.', 'Shop routine.', 'All controllers read.'],
]
// Jobs by letter, each with concern, cause and correction in small type under its price; facts in a strip across the top.
export function invoice(out) {
  const net = sum(LINES.map((l) => l[1]))
  chrome(
    `<!doctype html><meta charset="utf-8"><title>Invoice 88-4410</title><style>@page{size:letter;margin:13mm}body{font:9.5pt "DejaVu Sans Condensed",sans-serif;margin:0}.h{display:flex;justify-content:space-between;align-items:end;border-bottom:3pt double #000}.h b{font-size:16pt}.s{display:flex;flex-wrap:wrap;gap:1mm 7mm;margin:3mm 0 5mm;font-size:9pt}.j{border-bottom:.5pt solid #999;padding:1.6mm 0}.j div{display:flex;justify-content:space-between;font-weight:bold}.j p{margin:.6mm 0 0 6mm;font-size:7.8pt;color:#444}.t{margin:4mm 0 0 auto;width:70mm}.t div{display:flex;justify-content:space-between}</style>
<div class="h"><b>${shop}</b><span>INVOICE 88-4410-1 &nbsp; 10-22-2026</span></div>
<div class="s">${[
      ['Customer pays', 'nothing, bill to Mesquite Flats Mutual'],
      ['VIN', vin],
      ['Unit', `${car.year} ${car.make} ${car.model}`],
      ['Tag', common.plate],
      ['Miles in/out', '58,109 / 58,120'],
      ['Ticket', common.jobNumber],
      ['Claim', common.claimNumber],
    ]
      .map(([l, v]) => `<span>${l}: ${esc(v)}</span>`)
      .join('')}</div>
${LINES.map(([t, a, , , concern, cause, correction], i) => `<div class="j"><div><span>${'ABCDEFG'[i]}&nbsp; ${esc(t)}</span><span>${dollars(a)}</span></div><p>Concern: ${concern} Cause: ${cause} Correction: ${correction}</p></div>`).join('')}
<div class="t"><div><span>Jobs A to G</span><span>${dollars(net)}</span></div><div><span>Tax 5.6 %</span><span>${dollars(net * 0.056)}</span></div><div><b>Amount due</b><b>$${dollars(net * 1.056)}</b></div></div><p>Closed by Anneke Thorsby.</p>`,
    out,
  )
  return {
    kind: 'invoice',
    ...common,
    date: at('2026-10-22'),
    operations: LINES.map(([text, amount, kind, calls]) => ({ text, calls, billed: true, amount, kind })),
    pages: 1,
  }
}
