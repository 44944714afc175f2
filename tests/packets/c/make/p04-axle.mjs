// The alignment print of p04.
import { car, common, shop, tech, vin } from './p04-job.mjs'
import { at, chrome, comma, esc } from './tools.mjs'

const station = { name: 'Holmgard Achs 3', serial: 'HA3-1180', software: '5.40' }
const ANGLES = [
  [
    'Front axle',
    [
      ['Front camber left', -0.5, 0.5, -0.42, -0.44],
      ['Front camber right', -0.5, 0.5, -1.31, -0.57],
      ['Front caster left', 6.2, 0.6, 6.1, 6.1],
      ['Front caster right', 6.2, 0.6, 5.3, 6.05],
      ['Front toe total', 0.2, 0.1, -0.46, 0.18],
    ],
  ],
  [
    'Rear axle',
    [
      ['Rear camber left', -1.3, 0.4, -1.2, -1.2],
      ['Rear camber right', -1.3, 0.4, -1.25, -1.25],
      ['Rear toe total', 0.3, 0.15, 0.32, 0.32],
      ['Thrust angle', 0, 0.2, 0.05, 0.04],
    ],
  ],
]
const deg = (v) => `${v < 0 ? '\u2212' : ''}${comma(Math.abs(v), 2)}\u00b0`
// Three cards of run-on label and value, angles by axle as nominal, tolerance, before, after, all with decimal commas.
export function alignment(out, km) {
  const dot = String(km).replace(/\B(?=(\d{3})+$)/g, '.')
  const cards = [
    [
      'Vehicle',
      [
        ['Chassis no.', vin],
        ['Type', `${car.make} ${car.model}, model year ${car.year}`],
        ['Plate', common.plate],
        ['Km reading', `${dot} km`],
      ],
    ],
    [
      'Order',
      [
        ['Order no.', common.jobNumber],
        ['Claim', common.claimNumber],
        ['Measured on', '09.06.2026 15:40 h'],
        ['Measured by', tech],
      ],
    ],
    [
      'Measuring station',
      [
        ['Type', station.name],
        ['Station no.', station.serial],
        ['Software state', station.software],
        ['Last check', '02.02.2026'],
      ],
    ],
  ]
  chrome(
    `<!doctype html><meta charset="utf-8"><title>Wheel alignment protocol</title><style>@page{size:A4;margin:15mm}body{font:9.5pt "DejaVu Sans",sans-serif;margin:0}h1{font-size:15pt;background:#243b6b;color:#fff;margin:0 0 5mm;padding:3mm}.c{display:flex;gap:4mm;margin-bottom:6mm}.c div{flex:1;border:.6pt solid #243b6b;border-radius:2mm;padding:2mm 3mm}.c h2{font-size:9pt;margin:0 0 1mm;color:#243b6b}.c p{margin:0 0 .6mm;font-size:8.4pt}table{border-collapse:collapse;width:100%}th{font-size:8pt;font-weight:400;text-align:right;padding:1mm}th:first-child,td:first-child{text-align:left}td{text-align:right;padding:1.4mm 1mm;border-top:.4pt solid #aaa}.a td{background:#dde4f2;font-weight:bold;text-align:left}</style>
<h1>Wheel alignment protocol</h1><div class="c">${cards.map(([h, rows]) => `<div><h2>${h}</h2>${rows.map(([l, v]) => `<p>${l}: <b>${esc(v)}</b></p>`).join('')}</div>`).join('')}</div>
<table><tr><th>Angle</th><th>Nominal</th><th>Tolerance</th><th>Before</th><th>After</th></tr>${ANGLES.map(([axle, rows]) => `<tr class="a"><td colspan="5">${axle}</td></tr>${rows.map(([n, nominal, tol, before, after]) => `<tr><td>${n}</td><td>${deg(nominal)}</td><td>\u00b1 ${deg(tol)}</td><td>${deg(before)}</td><td><b>${deg(after)}</b></td></tr>`).join('')}`).join('')}</table>
<p>After adjustment all angles are within tolerance. Steering wheel straight. Tyres 2,4 bar, placard 2,4 bar. Tank half full, no load.</p><p>${shop}, Auenweg 14, Ahrenbr\u00fcck</p>`,
    out,
  )
  return {
    kind: 'alignment',
    vin,
    ...common,
    date: at('2026-06-09T15:40'),
    odometer: { value: km, unit: 'km' },
    technician: tech,
    instrument: station,
    alignment: {
      values: ANGLES.flatMap(([, rows]) =>
        rows.map(([name, nominal, tol, , value]) => ({
          name,
          value,
          unit: 'deg',
          least: Number((nominal - tol).toFixed(3)),
          most: Number((nominal + tol).toFixed(3)),
          stated: null,
        })),
      ),
      outcome: 'completed',
    },
    pages: 1,
  }
}
