// The invoice of p03.

import { car, common, typedVin } from './p03-job.mjs'
import { at, dollars, roff, sum } from './tools.mjs'

const GROUPS = [
  [
    'LABOR',
    [
      ['Left quarter panel - replace', 1284, 'repair', ['corner-radar', 'ultrasonic']],
      ['Rear bumper cover - remove and install', 212.5, 'repair', ['corner-radar', 'ultrasonic']],
      ['Refinish, three stage', 486.5, 'other', []],
    ],
  ],
  [
    'PARTS',
    [
      ['Rear bumper cover, new', 512.3, 'repair', ['corner-radar', 'ultrasonic']],
      ['Corner radar unit left rear, serial LK8-220714', 698, 'repair', ['corner-radar']],
      ['Tail lamp left', 241.15, 'other', []],
    ],
  ],
  [
    'DIAGNOSTICS',
    [
      ['Scan before repair', 70, 'scan', []],
      ['Corner radar calibration, left', 220, 'calibration', ['corner-radar']],
      ['Corner radar calibration, right', 220, 'calibration', ['corner-radar']],
      ['Scan after repair', 70, 'scan', []],
    ],
  ],
]
// Labels in capitals at a tab, lines with dotted leaders to the amount, a subtotal under each group.
export function invoice(out) {
  const lines = GROUPS.flatMap(([, l]) => l)
  const net = sum(lines.map((l) => l[1]))
  roff(
    `.nr PS 11
.nr VS 15
.nr PO 1.1i
.nr LL 6.3i
.ds CH
.ds CF
.fam H
.ce 9
.ps 18
IRON FERRY AUTOBODY
.sp 0.2
.ps 10
480 Slipway Street, Lockridge, OR
.sp 0.6
.ps 13
CUSTOMER INVOICE
.ce 0
.ps 11
.sp 1
.nf
.ta 1.6i 3.6i 4.9i
INVOICE NO.\t20931-F\tR.O.\t${common.jobNumber}
INVOICE DATE\tMarch 25, 2026\tCLAIM\t${common.claimNumber}
VEHICLE\t${car.year} ${car.make} ${car.model}\tPLATE\t${common.plate}
VIN\t${typedVin}\tMILES OUT\t33,411
.sp 1
.ta 6.3iR
.lc .
${GROUPS.map(([name, list]) => `\\fB${name}\\fP\n${list.map(([t, a]) => `${t} \u0001 ${dollars(a)}`).join('\n')}\n\\fI${name.toLowerCase()} subtotal\\fP\t${dollars(sum(list.map((l) => l[1])))}`).join('\n.sp 0.6\n')}
.sp 1
TOTAL BEFORE TAX\t${dollars(net)}
NO SALES TAX IN THIS STATE\t0.00
\\fBPLEASE PAY\t$${dollars(net)}\\fP
.sp 1
.fi
Codes found before repair were cleared on March 24 after the left unit had been fitted. Vehicle handed over by Marit Hollowell.
`,
    out,
  )
  return {
    kind: 'invoice',
    ...common,
    vin: typedVin,
    date: at('2026-03-25'),
    odometer: { value: 33411, unit: 'mi' },
    operations: lines.map(([text, amount, kind, calls]) => ({ text, calls, billed: true, amount, kind })),
    pages: 1,
  }
}
