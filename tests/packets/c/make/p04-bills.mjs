// The invoice of p04.
import { makeOdt } from './odt.mjs'
import { car, common, shop, vin } from './p04-job.mjs'
import { at, euros, office, sum } from './tools.mjs'

const LINES = [
  ['Entry test of all systems', 48, 'scan', []],
  ['Control arm front right - replace', 312.4, 'repair', ['steering-angle', 'front-camera', 'front-radar']],
  ['Windscreen - replace', 1084.9, 'repair', ['front-camera']],
  ['Wheel alignment, four wheels', 98, 'alignment', ['steering-angle', 'front-camera', 'front-radar']],
  ['Front camera calibration, dynamic', 160, 'calibration', ['front-camera']],
  ['Front camera calibration, static', 190, 'calibration', ['front-camera']],
  ['Surround camera calibration', 145, 'calibration', ['surround-camera']],
  ['Exit test of all systems', 48, 'scan', []],
]
// A4; two blocks of facts side by side; positions with unit price and amount, thousands with a dot, VAT.
export function invoice(out, km) {
  const { p, table, finish } = makeOdt({
    width: 210,
    height: 297,
    margin: 20,
    font: 'Liberation_Sans',
    looks: {
      name: 'size=15pt bold right',
      right: 'right',
      small: 'size=8.5pt',
      bold: 'bold',
      boldRight: 'bold right',
      title: 'size=14pt bold before=10mm after=4mm',
    },
  })
  const net = sum(LINES.map((l) => l[1]))
  const r = (t) => [t, 'right']
  office(
    finish(
      p(shop, 'name') +
        p('Auenweg 14, Ahrenbrück', 'right') +
        p('Alpenrast Insurance, Claims desk') +
        p('Invoice R-26/1193', 'title') +
        table(
          [32, 53, 32, 53],
          [
            ['Vehicle', `${car.make} ${car.model}`, 'Invoice date', '10.06.2026'],
            ['Chassis no.', vin, 'Our order', common.jobNumber],
            ['Plate', common.plate, 'Your claim', common.claimNumber],
            ['Km out', `${String(km).replace(/\B(?=(\d{3})+$)/g, '.')} km`, 'Loss on', '29.05.2026'],
          ],
          'plain',
        ) +
        p('', 'title') +
        table(
          [12, 84, 14, 30, 30],
          [
            ['Pos.', 'Service', 'Qty', 'Price EUR', 'Amount EUR'].map((t, i) => [t, i > 1 ? 'boldRight' : 'bold']),
            ...LINES.map(([t, a], i) => [String(i + 1), t, r('1,0'), r(euros(a)), r(euros(a))]),
          ],
          'line',
        ) +
        p('') +
        table(
          [140, 30],
          [
            [r('Net'), r(euros(net))],
            [r('VAT 19 %'), r(euros(net * 0.19))],
            [
              ['Amount payable', 'boldRight'],
              [`${euros(net * 1.19)} EUR`, 'boldRight'],
            ],
          ],
          'plain',
        ) +
        p('The entries of the entry test were deleted on 09.06.2026. Payable within 14 days.', 'small'),
    ),
    out,
  )
  return {
    kind: 'invoice',
    vin,
    vehicle: { make: car.make, model: car.model },
    plate: common.plate,
    jobNumber: common.jobNumber,
    claimNumber: common.claimNumber,
    date: at('2026-06-10'),
    odometer: { value: km, unit: 'km' },
    operations: LINES.map(([text, amount, kind, calls]) => ({ text, calls, billed: true, amount, kind })),
    pages: 1,
  }
}
