// Defects: no scan before, a locked alignment, an undated camera record, a slip of the future that is done at 96 %.
import { writeFileSync } from 'node:fs'
import { asElapsedCsv, measure, road } from './drives.mjs'
import { invoice } from './p05-bills.mjs'
import { car, common, shop, tech, vin } from './p05-job.mjs'
import { at, chrome, draw, esc, redate } from './tools.mjs'

const tool = { name: 'Ospray DX', serial: 'ODX-20377', software: '11.4.0' }
const zone = '-07:00'

const CONTROLLERS = [
  'Engine',
  'Transmission',
  'Transfer case',
  'Anti-lock brakes',
  'Power steering',
  'Restraints',
  'Body',
  'Gauge cluster',
  'Windshield camera',
  'Front radar',
  'Side object sensor left',
  'Side object sensor right',
  'Rear park assist',
  'Trailer module',
  'Gateway',
]
const faults = [
  {
    module: 'Trailer module',
    code: 'B1C22',
    failureType: '15',
    status: 'stored',
    text: 'Trailer turn lamp right, circuit short to battery or open',
  },
]
const completion = () => ({
  format: 'ospray.readout/3',
  purpose: 'after repair',
  takenAt: `2026-10-21T15:41:07${zone}`,
  subject: {
    chassis: vin,
    description: { modelYear: car.year, brand: car.make, line: car.model },
    tag: common.plate,
    odo: { reading: 58120, uom: 'mi' },
    systemVoltage: 13.1,
  },
  work: { ticket: common.jobNumber, claim: common.claimNumber, by: tech },
  tool: { model: tool.name, unitSerial: tool.serial, appVersion: tool.software },
  controllers: CONTROLLERS.map((label) => ({
    label,
    answered: true,
    faults: faults
      .filter((f) => f.module === label)
      .map((f) => ({ id: `${f.code}-${f.failureType}`, phase: 'historic', meaning: f.text })),
  })),
  faultTotal: faults.length,
})

const aimer = { name: 'Tessaract Frame 2', serial: 'TF2/6610', software: '4.0.18' }
const camera = { serial: 'PK-CAM-771203', part: 'PK 55-0194-D', procedure: 'PKI 8-1107 of January 12, 2026' }
const values = [
  ['Frame distance', 1997, 'mm', 1990, 2010, 'from camera lens to frame, along the centre line'],
  ['Frame height', 1322, 'mm', 1315, 1335, 'floor to middle of pattern'],
  ['Frame rotation', 0.2, 'deg', -0.5, 0.5, 'against the rear axle'],
  ['Camera pitch', -0.62, 'deg', -2, 2, 'reported by the camera'],
  ['Camera roll', 0.15, 'deg', -1, 1, 'reported by the camera'],
]
// Three pages with the facts in a side column on each, label over value, main matter beside it; no date anywhere.
function cameraRecord(out) {
  const side = [
    ['Vehicle', `${car.year} ${car.make} ${car.model}`],
    ['VIN', vin],
    ['License plate', common.plate],
    ['Mileage', '58,114 miles'],
    ['Shop ticket', common.jobNumber],
    ['Claim number', common.claimNumber],
    ['Calibrated by', tech],
    ['Equipment', aimer.name],
    ['Equipment ID', aimer.serial],
    ['Version', aimer.software],
    ['System voltage', '13.3 V'],
  ]
  const sheet = (n, body) =>
    `<article><aside>${side.map(([l, v]) => `<h4>${l}</h4><p>${esc(v)}</p>`).join('')}</aside><main><h1>Static calibration report</h1><h2>Windshield camera</h2>${body}</main><footer>${shop}, 2207 Saddle Road, Dry Fork, AZ<span>Page ${n} of 3</span></footer></article>`
  const steps = [
    ['Battery support connected', 'PASS'],
    ['Tires 40 psi cold, placard 40 psi', 'PASS'],
    ['Bed empty, tank full', 'PASS'],
    ['Ride height measured on four corners', 'PASS'],
    ['Floor level within 6 mm', 'PASS'],
    ['Windshield clean, new glass cured', 'PASS'],
    ['Steering straight, 0.4 deg', 'PASS'],
    ['Pattern seen by the camera', 'PASS'],
    ['Calibration data written', 'PASS'],
    ['Fault memory read back empty', 'PASS'],
  ]
  chrome(
    `<!doctype html><meta charset="utf-8"><title>Static calibration report</title><style>@page{size:letter;margin:0}body{margin:0;font:10pt "Nimbus Sans","Liberation Sans",sans-serif}article{height:278mm;display:grid;grid-template-columns:56mm 1fr;grid-template-rows:1fr 12mm;page-break-after:always}article:last-child{page-break-after:auto}aside{background:#f1ece2;padding:16mm 6mm}aside h4{font-size:7.5pt;text-transform:none;color:#8a5a17;margin:0;font-weight:400}aside p{margin:0 0 4mm;font-size:10pt}main{padding:16mm 14mm 0 10mm}h1{font-size:17pt;margin:0}h2{font-size:12pt;color:#8a5a17;margin:0 0 7mm}footer{grid-column:span 2;border-top:1pt solid #8a5a17;padding:2mm 6mm;font-size:8pt}footer span{float:right}table{border-collapse:collapse;width:100%}td,th{padding:1.6mm 2mm;text-align:left;vertical-align:top;border-bottom:.4pt solid #bbb;font-weight:400}.n{text-align:right}small{color:#666}dl{display:grid;grid-template-columns:44mm 1fr;row-gap:2mm}dt{color:#666}dd{margin:0}</style>` +
      sheet(
        1,
        `<p>Steps taken</p><table>${steps.map(([t, s], i) => `<tr><td>${i + 1}</td><td>${t}</td><td>${s}</td></tr>`).join('')}</table>`,
      ) +
      sheet(
        2,
        `<p>Measurements</p><table><tr><th>What</th><th class="n">Min</th><th class="n">Max</th><th class="n">Measured</th><th>Unit</th><th></th></tr>${values.map(([n, v, u, least, most, how]) => `<tr><td style="width:42mm">${n}<br><small>${how}</small></td><td class="n">${least}</td><td class="n">${most}</td><td class="n"><b>${v}</b></td><td>${u}</td><td>PASS</td></tr>`).join('')}</table>`,
      ) +
      sheet(
        3,
        `<p>Summary</p><dl><dt>Sensor</dt><dd>Windshield camera</dd><dt>Sensor serial no.</dt><dd>${camera.serial}</dd><dt>Sensor part no.</dt><dd>${camera.part}</dd><dt>Service information</dt><dd>${camera.procedure}</dd><dt>Type of calibration</dt><dd>Static, pattern frame</dd><dt>Run time</dt><dd>18 min 40 s</dd><dt>Progress</dt><dd>100 %</dd><dt>Final result</dt><dd><b>PASS</b></dd></dl>`,
      ),
    out,
  )
  return {
    kind: 'calibration',
    ...common,
    odometer: { value: 58114, unit: 'mi' },
    batteryVolts: 13.3,
    technician: tech,
    instrument: aimer,
    calibrations: [
      {
        sensor: 'front-camera',
        position: null,
        method: 'static',
        outcome: 'completed',
        progressPercent: 100,
        ...camera,
        values: values.map(([name, value, unit, least, most]) => ({ name, value, unit, least, most, stated: 'ok' })),
      },
    ],
    pages: 3,
  }
}

// A receipt on 80 mm paper: capital labels with the value on the next line, centred.
const radar = { serial: 'PK-RAD-330915', part: 'PK 55-0830-A' }
const slip = (out) => {
  const rows = [
    ['CHASSIS', vin],
    ['UNIT', `${car.year} ${car.make.toUpperCase()} ${car.model.toUpperCase()}`],
    ['TAG', common.plate],
    ['ODO', '58120 mi'],
    ['TICKET', common.jobNumber],
    ['CLAIM', common.claimNumber],
    ['TECH', tech],
    ['TOOL', `${tool.name}`],
    ['TOOL SERIAL', tool.serial],
    ['APP', tool.software],
    ['VOLTS', '14.0 V'],
    ['-', ''],
    ['SENSOR', 'FRONT RADAR'],
    ['METHOD', 'DYNAMIC'],
    ['SENSOR SERIAL', radar.serial],
    ['SENSOR PART', radar.part],
    ['DRIVE STARTED', '12-21-2026 13:40:05'],
    ['DRIVE ENDED', '12-21-2026 13:53:40'],
    ['DRIVE TIME', '13:30'],
    ['PROGRESS AT END', '96 %'],
    ['RESULT', 'LEARNED OK'],
  ]
  return draw(
    out,
    {
      size: [227, 660],
      margin: 12,
      info: {
        Title: 'ROAD CAL',
        Producer: 'Ospray DX slip printer',
        Creator: 'Ospray DX',
        CreationDate: new Date('2026-12-21T20:55:30Z'),
      },
    },
    (d) => {
      d.font('Courier-Bold').fontSize(12).text('ROAD CALIBRATION', { align: 'center' })
      d.font('Courier')
        .fontSize(8)
        .text(shop, { align: 'center' })
        .text('Dry Fork, AZ', { align: 'center' })
        .text('PRINTED 12-21-2026 13:55', { align: 'center' })
        .moveDown(0.8)
      for (const [l, v] of rows) {
        if (l === '-') {
          d.font('Courier').fontSize(8).text('-'.repeat(38), { align: 'center' }).moveDown(0.4)
          continue
        }
        d.font('Courier')
          .fontSize(7)
          .text(l, { align: 'center' })
          .font('Courier-Bold')
          .fontSize(9.5)
          .text(v, { align: 'center' })
          .moveDown(0.45)
      }
      d.font('Courier').fontSize(7).moveDown(0.6).text('DRIVER DRIVES - SECOND PERSON WATCHES', { align: 'center' })
    },
  )
}
const slipTruth = {
  kind: 'calibration',
  ...common,
  date: at('2026-12-21T13:55'),
  odometer: { value: 58120, unit: 'mi' },
  batteryVolts: 14,
  technician: tech,
  instrument: tool,
  calibrations: [
    {
      sensor: 'front-radar',
      position: null,
      method: 'dynamic',
      outcome: 'completed',
      progressPercent: 96,
      started: at('2026-12-21T13:40:05'),
      ended: at('2026-12-21T13:53:40'),
      durationSeconds: 810,
      ...radar,
    },
  ],
  pages: 1,
}

// An alignment print that asks for a password before it opens.
const locked = (out) =>
  draw(
    out,
    {
      size: 'LETTER',
      margin: 60,
      userPassword: 'bay-seven',
      ownerPassword: 'desk-two',
      pdfVersion: '1.7',
      info: { Title: 'Alignment 88-4410', CreationDate: new Date('2026-10-21T16:20:00Z') },
    },
    (d) => {
      d.font('Helvetica-Bold').fontSize(16).text('Four-wheel alignment').moveDown()
      d.font('Helvetica')
        .fontSize(11)
        .text(`VIN ${vin}, ${car.year} ${car.make} ${car.model}, 10-21-2026 09:18. All angles in range.`)
    },
  )

export async function make(file) {
  const documents = {}
  const drive = {
    ...road({
      seed: 88,
      lat: 34.6127,
      lon: -110.4018,
      turn: 64,
      legs: [
        [10, 0],
        [130, 22],
        [110, 23],
        [105, 21.5],
        [15, 0],
      ],
    }),
    base: 1720,
  }
  const { over40mph: _, ...drove } = measure(drive)
  writeFileSync(file('ospray_after.json'), `${JSON.stringify(completion(), null, 2)}\n`)
  documents['ospray_after.json'] = {
    kind: 'post-scan',
    ...common,
    date: at('2026-10-21T15:41:07', zone),
    odometer: { value: 58120, unit: 'mi' },
    batteryVolts: 13.1,
    technician: tech,
    instrument: tool,
    modules: CONTROLLERS.map((name) => ({ name, state: faults.some((f) => f.module === name) ? 'fault' : 'no-fault' })),
    codes: faults,
    statedCodeCount: 1,
  }
  documents['camera frame.pdf'] = cameraRecord(file('camera frame.pdf'))
  redate(file('camera frame.pdf'), '2026-10-21T19:50:00Z')
  await slip(file('road cal slip.pdf'))
  documents['road cal slip.pdf'] = slipTruth
  writeFileSync(file('roadlog_4410.csv'), asElapsedCsv(drive, '2026-10-21T20:40:10Z', `# ticket 88-4410, vin ${vin}\n`))
  documents['roadlog_4410.csv'] = { kind: 'drive-log', vin, drive: drove }
  await locked(file('4 wheel.pdf'))
  documents['ticket 88-4410.pdf'] = invoice(file('ticket 88-4410.pdf'))
  redate(file('ticket 88-4410.pdf'), '2026-10-22T16:40:00Z')
  writeFileSync(
    file('packet.yaml'),
    `packet: 1
zone: America/Phoenix
job: 88-4410
claim: QV-906-2216
vehicle: { vin: ${vin}, plate: CKB8813 }
loss: 2026-10-09
intake: 2026-10-19T08:20
release: 2026-10-22T12:00
repairs:
  - { what: "Bumper with radar bracket and windshield", ended: 2026-10-20T17:00 }
calibrations:
  - { sensor: front-camera, method: static }
  - { sensor: front-radar, method: dynamic }
notNeeded:
  - { sensor: ultrasonic, because: "no parking sensors in the front bumper of this truck" }
people:
  - { name: ${tech}, role: technician }
  - { name: Anneke Thorsby, role: reviewer }
shop: { name: ${shop}, location: [34.6127, -110.4018] }
`,
  )
  return {
    note: 'Pick-up, bumper and windshield. No scan before repair though one is billed; the alignment print is locked with a password (password in make/p05.mjs; it stands in `unread`, not in `documents`); the camera record carries no date; the radar slip is dated 2026-12-21, after the day of review, says LEARNED OK at 96 % and a drive of 13 min 30 s where the log has 6 min 10 s.',
    clean: false,
    documents,
    unread: ['4 wheel.pdf'],
    expected: [
      { check: 'pre-scan-present', verdict: 'fail', files: [], why: 'no scan from before the repair is in the packet' },
      {
        check: 'billed-is-evidenced',
        verdict: 'fail',
        files: ['ticket 88-4410.pdf'],
        why: 'follows from it: a pre-repair scan is billed (75.00) and is not there',
      },
      { check: 'files-readable', verdict: 'fail', files: ['4 wheel.pdf'], why: 'locked with a password' },
      {
        check: 'dates-present',
        verdict: 'fail',
        files: ['camera frame.pdf'],
        why: 'the camera record carries no date',
      },
      {
        check: 'nothing-in-the-future',
        verdict: 'fail',
        files: ['road cal slip.pdf'],
        why: 'slip of 12-21-2026, day of review 2026-11-25',
      },
      { check: 'calibration-reached-full', verdict: 'fail', files: ['road cal slip.pdf'], why: 'last progress 96 %' },
      { check: 'progress-consistent', verdict: 'fail', files: ['road cal slip.pdf'], why: 'LEARNED OK beside 96 %' },
      {
        check: 'drive-duration-agrees',
        verdict: 'fail',
        files: ['road cal slip.pdf', 'roadlog_4410.csv'],
        why: `the slip says 13 min 30 s, the log lasts ${drove.durationSeconds} s`,
      },
    ],
    allowed: [
      'clocks-agree',
      'timeline-consistent',
      'post-scan-follows-calibration',
      'no-work-after-post-scan',
      'drive-inside-calibration',
      'printed-after-event',
      'job-inside-claim',
      'post-scan-fresh',
      'alignment-recorded',
      'alignment-precedes-calibration',
      'pre-scan-precedes-work',
      'calibration-completed',
      'calibration-recorded',
      'odometer-runs-forward',
      'odometer-matches-drive',
      'drive-distance-agrees',
      'pdf-not-edited',
      'clock-plausible',
    ],
  }
}
