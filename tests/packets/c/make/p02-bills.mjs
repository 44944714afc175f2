// The invoice of p02.
import { makeOdt } from './odt.mjs'
import { car, common, km, shop, vin } from './p02-job.mjs'
import { at, dollars, office, sum } from './tools.mjs'

const LINES = [
  ['Readout of all systems before work', 58, 'scan', []],
  ['Windshield with camera window - out and new in', 912, 'repair', ['front-camera']],
  ['Mouldings, primer and adhesive', 74.25, 'other', []],
  ['Steering angle zero point', 45, 'calibration', ['steering-angle']],
  ['Windshield camera calibration, static', 235, 'calibration', ['front-camera']],
  ['Windshield camera calibration, dynamic', 185, 'calibration', ['front-camera']],
  ['Readout of all systems after work', 58, 'scan', []],
]
// Values right-aligned against their labels; lines with quantity and rate, no rules.
export function invoice(out, odo) {
  const { p, table, finish } = makeOdt({
    width: 215.9,
    height: 279.4,
    margin: 22,
    font: 'Liberation_Serif',
    looks: {
      name: 'size=20pt italic',
      title: 'size=13pt bold before=8mm after=3mm',
      right: 'right',
      bold: 'bold',
      boldRight: 'bold right',
      small: 'size=9pt before=7mm',
    },
  })
  const net = sum(LINES.map((l) => l[1]))
  const r = (t) => [t, 'right']
  office(
    finish(
      p(shop, 'name') +
        p('7 Breakwater Road, Bayfield, NS') +
        p('TAX INVOICE', 'title') +
        table(
          [60, 60],
          [
            ['Invoice number', r('30977/1')],
            ['Dated', r('2026-09-15')],
            ['Worksheet', r(common.jobNumber)],
            ['Vehicle', r(`${car.year} ${car.make} ${car.model}`)],
            ['V.I.N.', r(vin)],
            ['Reg. mark', r(common.plate)],
            ['Kilometres out', r(km(odo))],
            ['Insurer', r('Saltmarsh Assurance')],
            ['Insurer file', r(common.claimNumber)],
          ],
          'plain',
        ) +
        p('Work done', 'title') +
        table(
          [96, 14, 30, 30],
          [
            [
              ['Description', 'bold'],
              ['Qty', 'boldRight'],
              ['Rate', 'boldRight'],
              ['CAD', 'boldRight'],
            ],
            ...LINES.map(([t, a]) => [t, r('1'), r(dollars(a)), r(dollars(a))]),
            ['', '', r('Before tax'), r(dollars(net))],
            ['', '', r('HST 15 %'), r(dollars(net * 0.15))],
            ['', '', ['Total due', 'boldRight'], [dollars(net * 1.15), 'boldRight']],
          ],
          'plain',
        ) +
        p(
          'The entries found before work were cleared on 15 September after the glass had been set. HST registration 70551 0000.',
          'small',
        ) +
        p('Released by Corin Haddow.'),
    ),
    out,
  )
  return {
    kind: 'invoice',
    vin,
    vehicle: car,
    plate: common.plate,
    jobNumber: common.jobNumber,
    claimNumber: common.claimNumber,
    date: at('2026-09-15'),
    odometer: { value: odo, unit: 'km' },
    operations: LINES.map(([text, amount, kind, calls]) => ({ text, calls, billed: true, amount, kind })),
    pages: 1,
  }
}
