/** Three alignment layouts, four of bills, three of release sheets. */
import { dateText, dayText, faceOf, stamp } from './clocks.ts'
import type { AlignmentPaper, BillPaper, NotePaper } from './draft.ts'
import { headFields, headWords } from './layouts-scan.ts'
import { type Block, known, type Sheet } from './sheet.ts'
import { money, odometerText } from './units.ts'

const alignmentWords = [
  {
    title: 'Wheel alignment report',
    started: 'Started',
    ended: 'Ended',
    columns: ['Angle', 'Before', 'After', 'Minimum', 'Maximum'],
    result: 'Result',
  },
  {
    title: 'Four wheel alignment',
    started: 'Start time',
    ended: 'End time',
    columns: ['Measurement', 'Initial', 'Final', 'Min', 'Max'],
    result: 'Status',
  },
  {
    title: 'Wheel geometry record',
    started: 'Begin',
    ended: 'Finish',
    columns: ['Parameter', 'As found', 'As left', 'Lower limit', 'Upper limit'],
    result: 'Outcome',
  },
] as const

export function alignmentSheet(paper: AlignmentPaper, issuer: string, unit: 'mi' | 'km', printsChecks: boolean): Sheet {
  const say = alignmentWords[paper.layout] ?? alignmentWords[0]
  const { clock, instrument } = paper.head
  return {
    title: say.title,
    issuer,
    creator: instrument?.creator ?? 'aligner',
    made: paper.made,
    missingPage: paper.missingPage,
    blocks: [
      {
        kind: 'fields',
        rows: [
          ...headFields(
            paper.head,
            headWords[paper.layout] ?? headWords[0]!,
            paper.ended,
            paper.dating,
            unit,
            printsChecks,
          ),
          ...known([
            [say.started, dateText(clock, paper.started, paper.dating)],
            [say.ended, dateText(clock, paper.ended, paper.dating)],
          ]),
          [say.result, 'Completed'],
        ],
      },
      {
        kind: 'table',
        columns: say.columns,
        rows: paper.rows.map(({ name, ...figures }) => [
          name,
          ...[figures.before, figures.after, figures.least, figures.most].map((figure) => `${figure.toFixed(2)}°`),
        ]),
        widths: [40, 18, 18, 18, 18],
      },
      ...(paper.notes.length > 0 ? [{ kind: 'lines', lines: paper.notes } as const] : []),
    ],
  }
}

const billWords = [
  {
    estimate: 'Estimate',
    invoice: 'Invoice',
    number: 'no.',
    date: 'Date',
    job: 'Repair order',
    vin: 'VIN',
    columns: ['Line', 'Description', 'Amount'],
    total: 'Total',
    loss: 'Date of loss',
    by: 'Prepared by',
    odometer: 'Odometer',
  },
  {
    estimate: 'Repair estimate',
    invoice: 'Tax invoice',
    number: 'number',
    date: 'Date issued',
    job: 'RO no.',
    vin: 'VIN',
    columns: ['Item', 'Work', 'Price'],
    total: 'Total due',
    loss: 'Loss date',
    by: 'Written by',
    odometer: 'Mileage',
  },
  {
    estimate: 'Estimate of repairs',
    invoice: 'Final invoice',
    number: 'no.',
    date: 'Date',
    job: 'Job no.',
    vin: 'Chassis no.',
    columns: ['No.', 'Operation', 'Qty', 'Total'],
    total: 'Grand total',
    loss: 'Date of accident',
    by: 'Advisor',
    odometer: 'Odometer reading',
  },
  {
    estimate: 'Quotation',
    invoice: 'Customer invoice',
    number: 'no.',
    date: 'Dated',
    job: 'Work order',
    vin: 'Vehicle ID no.',
    columns: ['Pos', 'Item', 'Net'],
    total: 'Amount due',
    loss: 'Loss date',
    by: 'Issued by',
    odometer: 'Odo',
  },
] as const

export function billSheet(paper: BillPaper, unit: 'mi' | 'km', currency: string): Sheet {
  const say = billWords[paper.layout] ?? billWords[0]
  const { head } = paper
  const title = paper.which === 'estimate' ? say.estimate : paper.which === 'sublet' ? 'Invoice' : say.invoice
  const day = (time: number) => dayText(faceOf(time + head.clock.aheadSeconds, head.clock.zone), head.clock.days)
  const rows = paper.lines.map(({ text, amount }, index) =>
    say.columns.length === 4 ? [String(index + 1), text, '1', money(amount)] : [String(index + 1), text, money(amount)],
  )
  const total = paper.lines.reduce((sum, { amount }) => sum + amount, 0)
  const blank = say.columns.slice(2).map(() => '')
  return {
    title,
    issuer: paper.issuer,
    creator: `${paper.issuer} office`,
    made: paper.made,
    missingPage: paper.missingPage,
    blocks: [
      {
        kind: 'fields',
        rows: known([
          [`${title} ${say.number}`, paper.number],
          [say.date, day(paper.at)],
          [say.job, head.job],
          ['Claim no.', head.claim],
          [say.loss, paper.loss === null ? null : day(paper.loss)],
          [say.vin, head.vin],
          ['Vehicle', `${head.year} ${head.make} ${head.model}`],
          ['Plate', head.plate],
          [say.odometer, odometerText(head.miles, unit)],
          [say.by, paper.preparedBy],
        ]),
      },
      {
        kind: 'table',
        columns: say.columns,
        rows: [...rows, ['', say.total, ...blank.slice(1), `${currency}${money(total)}`]],
        widths: say.columns.length === 4 ? [8, 66, 10, 16] : [8, 72, 20],
      },
      ...(paper.notes.length > 0 ? [{ kind: 'lines', lines: paper.notes } as const] : []),
    ],
  }
}

const noteDates = ['Date and time', 'Checked on', 'Date'] as const

export function noteSheet(paper: NotePaper, issuer: string): Sheet {
  const { head } = paper
  const { day, hour } = stamp(head.clock, paper.at)
  const blocks: Block[] = [
    {
      kind: 'fields',
      rows: known([
        ['Repair order', head.job],
        ['VIN', head.vin],
        ['Vehicle', `${head.year} ${head.make} ${head.model}`],
        [noteDates[paper.layout] ?? noteDates[0], `${day} ${hour}`],
        ...paper.fields,
      ]),
    },
    { kind: 'lines', lines: paper.lines },
  ]
  return {
    title: paper.title,
    issuer,
    creator: `${issuer} office`,
    made: paper.made,
    missingPage: paper.missingPage,
    blocks,
  }
}
