// Defects: the right corner radar never learns; codes, a silent module and a mistyped serial are left.
import { writeFileSync } from 'node:fs'
import { invoice } from './p03-bills.mjs'
import { car, common, tech, typedVin, vin } from './p03-job.mjs'
import { at, redate, roff } from './tools.mjs'

const scanner = { name: 'Wickline TX', serial: 'WTX-55102', software: '4.8' }
const MODULES = [
  ['7E0', 'Engine'],
  ['7E1', 'Trans'],
  ['760', 'ABS/Stability'],
  ['730', 'EPS'],
  ['737', 'SRS'],
  ['726', 'Body front'],
  ['740', 'Body rear'],
  ['720', 'Cluster'],
  ['706', 'Fwd camera'],
  ['764', 'Fwd radar'],
  ['7C4', 'Corner radar RL'],
  ['7C6', 'Corner radar RR'],
  ['7B1', 'Surround cam'],
  ['736', 'Park sensors'],
  ['775', 'Trailer'],
]
const LETTER = { active: 'A', stored: 'H', pending: 'P' }

// 80 columns of plain text, CR LF, status by letters, long descriptions carried to the next line.
function scan(path, { head, when, miles, volts, codes, silent = [] }) {
  const pair = (a, b, c, d) => `${a.padEnd(9)}: ${b.padEnd(35)}${c ? `${c.padEnd(11)}: ${d}` : ''}`.trimEnd()
  const out = [
    'WICKLINE TX                                    ALL MODULE SCAN',
    `S/N WTX-55102    ROM 4.8                        ${head}`,
    '='.repeat(80),
    pair('Scanned', when, 'Work order', common.jobNumber),
    pair('Veh VIN', vin, 'Claim no', common.claimNumber),
    pair('Car', `${car.year} ${car.make} ${car.model}`, 'Plate', common.plate),
    pair('Mileage', `${miles} mi`, 'Done by', tech),
    pair('Battery', `${volts} V (maintainer on)`),
    '',
    'ADR  MODULE            RES  DTC       ST  DESCRIPTION',
    '---  ----------------  ---  --------  --  --------------------------------------',
  ]
  for (const [address, name] of MODULES) {
    const own = codes.filter((c) => c.module === name)
    const front = `${address}  ${name.padEnd(18)}`
    if (!own.length) out.push(`${front}${silent.includes(name) ? 'N/R' : name === 'Trailer' ? 'N/F' : '-'}`)
    own.forEach((c, i) => {
      const [first, second] =
        c.text.length > 38
          ? [c.text.slice(0, c.text.lastIndexOf(' ', 38)), c.text.slice(c.text.lastIndexOf(' ', 38) + 1)]
          : [c.text]
      out.push(
        `${i ? ' '.repeat(23) : front}${i ? '   ' : 'F  '}  ${c.code}-${c.failureType}  ${LETTER[c.status]}   ${first}`,
      )
      if (second) out.push(' '.repeat(42) + second)
    })
  }
  out.push(
    '',
    `Codes found: ${codes.length}`,
    'RES  - no fault   F fault   N/R no response   N/F not fitted',
    'ST   A active   H history   P pending',
    '*** end ***',
  )
  writeFileSync(path, `${out.join('\r\n')}\r\n`)
}
const scanTruth = (kind, local, miles, volts, codes, silent = []) => ({
  kind,
  ...common,
  date: at(local),
  odometer: { value: miles, unit: 'mi' },
  batteryVolts: volts,
  technician: tech,
  instrument: scanner,
  modules: MODULES.map(([, name]) => ({
    name,
    state:
      name === 'Trailer'
        ? 'not-fitted'
        : silent.includes(name)
          ? 'no-response'
          : codes.some((c) => c.module === name)
            ? 'fault'
            : 'no-fault',
  })),
  codes,
  statedCodeCount: codes.length,
})

const before = [
  { module: 'Body rear', code: 'B1153', failureType: '13', status: 'active', text: 'Tail lamp left circuit open' },
  {
    module: 'Corner radar RL',
    code: 'B1A2B',
    failureType: '96',
    status: 'active',
    text: 'Radar unit, component internal failure',
  },
  {
    module: 'Corner radar RL',
    code: 'U1420',
    failureType: '87',
    status: 'stored',
    text: 'Private bus between the corner radars, message missing',
  },
]
const after = [
  {
    module: 'Corner radar RR',
    code: 'B1A3C',
    failureType: '54',
    status: 'active',
    text: 'Radar unit, missing calibration',
  },
  {
    module: 'Park sensors',
    code: 'B1E44',
    failureType: '92',
    status: 'pending',
    text: 'Outer sensor right, performance or incorrect operation',
  },
]

const stand = { name: 'Ambleside Reflect', serial: 'AR-0093', software: '2.2.7' }
const values = [
  ['Azimuth', -2, 0.4, 2, 'deg'],
  ['Elevation', -1.5, -0.3, 1.5, 'deg'],
  ['Reflector distance', 2990, 3003, 3010, 'mm'],
  ['Reflector height', 640, 652, 660, 'mm'],
]
const sides = [
  {
    side: 'left',
    serial: 'LK8-220741',
    part: 'LK 8840-RL',
    from: '10:21 am',
    to: '10:38 am',
    local: ['10:21', '10:38'],
    reached: 100,
    outcome: 'completed',
    word: 'OK, finished',
    values,
  },
  {
    side: 'right',
    serial: 'LK8-198302',
    part: 'LK 8840-RR',
    from: '10:44 am',
    to: '11:02 am',
    local: ['10:44', '11:02'],
    reached: 70,
    outcome: 'failed',
    word: 'NOK, timed out',
    values: [
      ['Reflector distance', 2990, 2998, 3010, 'mm'],
      ['Reflector height', 640, 649, 660, 'mm'],
    ],
  },
]
// Run-in labels on lines of text, boxed tables with the least value first, a sheet number on each page and the summary at the end.
function calibration(out) {
  const b = '\\ \\(bu\\ '
  const block = ({ side, serial, part, from, to, values: list }) =>
    `.LP
.B "Rear corner radar, ${side}"
.br
Kind static, on reflector stand${b}Serial ${serial}${b}Part ${part}
.br
Start 24 March 2026, ${from}${b}Stop 24 March 2026, ${to}${b}Instruction LSI 19-330 (2025-11-20)
.sp 0.4
.TS
allbox center;
l c c c c.
Quantity\tLowest\tFound\tHighest\tUnit
${list.map(([name, least, v, most, unit]) => `${name}\t${least}\t${v}\t${most}\t${unit}`).join('\n')}
.TE
`.replace(/\t-/g, '\t\\-')
  roff(
    `.nr PS 11
.nr VS 14
.nr PO 1i
.nr LL 6.5i
.ds LH Ambleside Reflect
.ds CH Calibration of corner radars
.ds RH Sheet % of 2
.ds CF
.P1
.LP
.ps 16
.B "Calibration of corner radars"
.ps 11
.br
Iron Ferry Autobody, 480 Slipway Street, Lockridge, OR
.LP
V.I.N. ${vin}${b}${car.year} ${car.make} ${car.model}${b}Registration ${common.plate}
.br
Mileage 33,411 miles${b}Work order ${common.jobNumber}${b}Claim ${common.claimNumber}
.br
Recorded 24 March 2026, 11:05 am${b}Performed by ${tech}${b}Supply 13.4 volts
.br
Tool ${stand.name}${b}Tool number ${stand.serial}${b}Release ${stand.software}
${block(sides[0])}${block(sides[1])}.LP
Tires 34 psi cold, placard 34 psi. Fuel one half. No load. Ride height measured and in range. Floor level to 5 mm over the bay.
.bp
.LP
.B Summary
.TS
tab(|) center;
l l l l
_ _ _ _
l l l l.
Sensor|Serial|Reached|Verdict
${sides.map((s) => `Rear corner radar, ${s.side}|${s.serial}|${s.reached} %|${s.word}`).join('\n')}
.TE
.LP
One of two sensors was not finished. The vehicle is not ready while a sensor is not finished.
`,
    out,
  )
  return {
    kind: 'calibration',
    ...common,
    date: at('2026-03-24T11:05'),
    odometer: { value: 33411, unit: 'mi' },
    batteryVolts: 13.4,
    technician: tech,
    instrument: stand,
    calibrations: sides.map((s) => ({
      sensor: 'corner-radar',
      position: s.side,
      method: 'static',
      outcome: s.outcome,
      progressPercent: s.reached,
      started: at(`2026-03-24T${s.local[0]}`),
      ended: at(`2026-03-24T${s.local[1]}`),
      serial: s.serial,
      part: s.part,
      procedure: 'LSI 19-330 (2025-11-20)',
      values: s.values.map(([name, least, value, most, unit]) => ({ name, value, unit, least, most, stated: null })),
    })),
    pages: 2,
  }
}

export async function make(file) {
  const documents = {}
  scan(file('WTX_0017.TXT'), {
    head: 'TAKEN BEFORE REPAIR',
    when: 'Tue Mar 17 09:12:44 2026',
    miles: 33410,
    volts: '12.8',
    codes: before,
  })
  documents['WTX_0017.TXT'] = scanTruth('pre-scan', '2026-03-17T09:12:44', 33410, 12.8, before)
  scan(file('WTX_0023.TXT'), {
    head: 'TAKEN AFTER REPAIR',
    when: 'Tue Mar 24 11:31:20 2026',
    miles: 33411,
    volts: '12.9',
    codes: after,
    silent: ['Surround cam'],
  })
  documents['WTX_0023.TXT'] = scanTruth('post-scan', '2026-03-24T11:31:20', 33411, 12.9, after, ['Surround cam'])
  documents['reflect 20931.pdf'] = calibration(file('reflect 20931.pdf'))
  redate(file('reflect 20931.pdf'), '2026-03-24T18:05:40Z')
  documents['customer invoice.pdf'] = invoice(file('customer invoice.pdf'))
  redate(file('customer invoice.pdf'), '2026-03-25T16:30:00Z')
  writeFileSync(
    file('packet.yaml'),
    `packet: 1
zone: America/Los_Angeles
job: IF-20931
claim: 3300-81-CQ
vehicle: { vin: ${vin}, plate: 972 JWL }
loss: 2026-03-06
intake: 2026-03-17T08:30
release: 2026-03-25T10:00
repairs:
  - { what: "Rear bumper cover replaced, left corner radar fitted", ended: 2026-03-24T16:30 }
calibrations:
  - { sensor: corner-radar, method: static }
notNeeded:
  - { sensor: ultrasonic, because: "service information asks for a function test only" }
people:
  - { name: ${tech}, role: technician }
  - { name: Marit Hollowell, role: reviewer }
shop: { name: Iron Ferry Autobody, location: [44.0311, -123.1177] }
`,
  )
  return {
    note: 'Quarter panel, bumper, left corner radar. The right radar timed out at 70 %; the scan after repair shows its code B1A3C-54 active, a pending code and a silent surround camera; the left serial differs between record and invoice; packet.yaml says that the bumper was fitted after the calibration; the invoice has a letter O in the VIN. Text scans.',
    clean: false,
    documents,
    expected: [
      {
        check: 'vin-well-formed',
        verdict: 'fail',
        files: ['customer invoice.pdf'],
        why: `the invoice has ${typedVin} with the letter O, which no VIN may hold`,
      },
      {
        check: 'calibration-completed',
        verdict: 'fail',
        files: ['reflect 20931.pdf'],
        why: 'rear corner radar, right: NOK, timed out',
      },
      {
        check: 'calibration-reached-full',
        verdict: 'fail',
        files: ['reflect 20931.pdf'],
        why: 'the right radar reached 70 %, part of the same defect',
      },
      {
        check: 'sensor-serial-agrees',
        verdict: 'fail',
        files: ['reflect 20931.pdf', 'customer invoice.pdf'],
        why: 'left radar: record LK8-220741, invoice LK8-220714',
      },
      { check: 'no-faults-left', verdict: 'fail', files: ['WTX_0023.TXT'], why: 'B1A3C-54 active in Corner radar RR' },
      {
        check: 'no-calibration-faults-left',
        verdict: 'fail',
        files: ['WTX_0023.TXT'],
        why: 'failure type 54, missing calibration',
      },
      {
        check: 'no-new-faults',
        verdict: 'fail',
        files: ['WTX_0023.TXT'],
        why: 'B1A3C-54 is active and was not in the scan before repair',
      },
      { check: 'no-pending-faults', verdict: 'warn', files: ['WTX_0023.TXT'], why: 'B1E44-92 pending in Park sensors' },
      {
        check: 'modules-respond',
        verdict: 'fail',
        files: ['WTX_0023.TXT'],
        why: 'Surround cam does not respond; it did before the repair',
      },
      {
        check: 'calibration-follows-repair',
        verdict: 'fail',
        files: ['reflect 20931.pdf', 'packet.yaml'],
        why: 'packet.yaml: bumper and radar fitted until 2026-03-24T16:30; both calibrations ended by 11:02 that day',
      },
    ],
    allowed: [
      'vin-agrees',
      'billed-is-evidenced',
      'calibration-recorded',
      'calibrated-sensor-is-the-one',
      'modules-covered',
      'no-work-after-post-scan',
      'timeline-consistent',
    ],
  }
}
