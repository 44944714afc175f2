/** What an archive tells, as text for people. */
import type {
  ArchiveAudit,
  FixityResult,
  HoldInForce,
  KeptSeal,
  LoggedEntry,
  PacketRow,
  Scope,
  SubmissionRow,
} from '../archive/index.ts'
import { makeSheet, type Sheet, type SheetOptions, type Span, span } from './sheet.ts'
import { count, nameSensor, verdictStyles, verdictWords } from './words.ts'

/** Packets, a paragraph each, oldest first. */
export function renderPackets(rows: readonly PacketRow[], options: SheetOptions): string {
  const sheet = makeSheet(options)
  for (const row of rows) writePacket(sheet, row)
  sheet.gap()
  sheet.write(rows.length === 0 ? 'No packet fits.' : `${count(rows.length, 'packet')}.`)
  return sheet.toString()
}

function writePacket(sheet: Sheet, row: PacketRow): void {
  const { accession, name, disposed } = row
  sheet.write([span(accession, 'strong'), span('  '), ...verdictOf(row), span(`  ${name}`)])
  const parts = [
    ...row.vins.map((vin) => `VIN ${vin}`),
    ...row.declaredVins.map((vin) => `VIN ${vin} (declared)`),
    ...(row.job === null ? [] : [`job ${row.job}`]),
    ...(row.shop === null ? [] : [row.shop]),
    `received ${row.receivedAt.slice(0, 10)}`,
    ...(row.follows === null ? [] : [`follows ${row.follows}`]),
    ...(row.followedBy === null ? [] : [`followed by ${row.followedBy}`]),
    ...row.holds.map((hold) => `held: ${hold}`),
    ...(disposed ? ['destroyed'] : []),
  ]
  sheet.write(parts.join(' · '), { first: '           ', rest: '           ' })
  for (const { sensor, outcome, day, instrument } of row.calibrations) {
    const by = instrument === null ? '' : `, instrument ${instrument.toUpperCase()}`
    sheet.write(`${nameSensor(sensor as never, null)}: ${outcome}${day === null ? '' : `, ${day}`}${by}`, {
      first: '           ',
      rest: '             ',
    })
  }
}

function verdictOf({ verdict }: Pick<PacketRow, 'verdict'>): Span[] {
  return [verdict === null ? span('not checked', 'quiet') : span(verdictWords[verdict], verdictStyles[verdict])]
}

/** One packet, and all that the archive knows of it. */
export interface ShownPacket {
  row: PacketRow
  files: readonly { path: string; sha256: string; bytes: number }[]
  seals: readonly KeptSeal[]
  /** Each time that the job was handed in, this one too. */
  submissions: readonly SubmissionRow[]
  acts: readonly LoggedEntry[]
}

/** One packet: what it holds, its seals, what else was handed in for the job, and what was done with it. */
export function renderPacket({ row, files, seals, submissions, acts }: ShownPacket, options: SheetOptions): string {
  const sheet = makeSheet(options)
  writePacket(sheet, row)
  sheet.gap()
  sheet.write([span('Files', 'strong')])
  for (const { path, sha256, bytes } of files) {
    sheet.write(`${path}, ${count(bytes, 'byte')}`, { first: '  ', rest: '    ' })
    sheet.write([span(sha256, 'quiet')], { first: '    ' })
  }
  writeSubmissions(sheet, row, submissions)
  writeSeals(sheet, seals)
  sheet.gap()
  sheet.write([span('Custody', 'strong')])
  writeEntries(sheet, acts)
  return sheet.toString()
}

function writeSubmissions(sheet: Sheet, { accession }: PacketRow, submissions: readonly SubmissionRow[]): void {
  if (submissions.length < 2) return
  sheet.gap()
  sheet.write([span('Submissions of this job', 'strong')])
  for (const one of submissions) {
    const notes = [
      `received ${one.receivedAt.slice(0, 10)}`,
      ...(one.follows === null ? [] : [`follows ${one.follows}`]),
      ...(one.disposed ? ['destroyed'] : []),
      ...(one.accession === accession ? ['this one'] : []),
    ]
    const words = [span(`${one.accession}  `), ...verdictOf(one), span(`  ${one.name}: ${notes.join(', ')}`)]
    sheet.write(words, { first: '  ', rest: '    ' })
  }
}

function writeSeals(sheet: Sheet, seals: readonly KeptSeal[]): void {
  if (seals.length === 0) return
  sheet.gap()
  sheet.write([span('Seals', 'strong')])
  for (const { index, at, act, signer, files, renewedBy } of seals) {
    const stamps = files.map(({ path }) => path).filter((path) => /(^seal|^renewal-\d+\/stamp)\.tsr$/.test(path))
    const words = [
      `${act === 'sealed' ? 'sealed' : 'stamped'}, ${count(files.length, 'file')}`,
      signer === null ? 'sealed by whoever handed it over' : `signed by ${signer}`,
      stamps.length === 0 ? 'without a time stamp' : `time stamps: ${stamps.join(', ')}`,
      ...(renewedBy === null ? [] : [`stamped again by entry ${renewedBy}`]),
    ]
    sheet.write([span(at, 'quiet'), span(` ${words.join('; ')}`)], {
      first: `  ${String(index).padStart(6)}  `,
      rest: ' '.repeat(10),
    })
  }
}

/** Entries of the log, a paragraph each. */
export function renderEntries(entries: readonly LoggedEntry[], options: SheetOptions): string {
  const sheet = makeSheet(options)
  writeEntries(sheet, entries)
  return sheet.toString()
}

function writeEntries(sheet: Sheet, entries: readonly LoggedEntry[]): void {
  for (const { index, entry } of entries) {
    const { at, by, why, authority } = entry
    const lead = { first: `  ${String(index).padStart(6)}  `, rest: ' '.repeat(10) }
    sheet.write([span(at, 'quiet'), span(` ${describeAct(entry)}, by ${by.name}`)], lead)
    const reasons = [
      ...(why === undefined ? [] : [`Why: ${why}`]),
      ...(authority === undefined ? [] : [`Authority: ${authority}`]),
    ]
    for (const reason of reasons) sheet.write(reason, { first: ' '.repeat(10), rest: ' '.repeat(12) })
  }
}

/** What an entry says was done, without who and when. */
export function describeAct(entry: LoggedEntry['entry']): string {
  switch (entry.act) {
    case 'begun':
      return `began the archive ${entry.origin}`
    case 'received': {
      const from = entry.from === undefined ? '' : ` from ${entry.from}`
      const left = entry.notKept === undefined ? '' : `; ${entry.notKept} could not be kept`
      return `received ${entry.accession}${from}: ${entry.packet.name}, ${count(entry.files, 'file')}${left}`
    }
    case 'checked':
      return `checked ${entry.accession} by ${entry.rulebook.name} ${entry.rulebook.version}: ${verdictWords[entry.verdict]}`
    case 'sealed':
      return `sealed ${entry.accession}${entry.signer === undefined ? '' : ` as ${entry.signer}`}`
    case 're-stamped':
      return `had the time of the seal of ${entry.accession} vouched for`
    case 'viewed':
      return `looked at ${entry.accession}`
    case 'decided':
      return `${entry.ruling} what ${entry.check} finds in ${entry.accession} (${entry.message})`
    case 'exported':
      return `handed ${entry.redacted ? 'redacted copies' : 'copies'} of ${listNumbers(entry.accessions)} to ${entry.to}`
    case 'export-failed':
      return `could not finish what entry ${entry.export} says was handed over`
    case 'held':
      return `held ${describeScope(entry.scope)} for ${entry.matter} (${entry.hold})`
    case 'released':
      return `released ${entry.hold}`
    case 'disposal-proposed':
      return `proposed to destroy ${listNumbers(entry.accessions)}`
    case 'disposed':
      return `agreed to entry ${entry.proposal}: ${entry.accession} (${entry.packet.name}) was destroyed, ${count(entry.destroyed, 'content')} of its own`
    case 'fixity-checked': {
      const damage = entry.damaged.length === 0 ? 'all sound' : `${entry.damaged.length} damaged`
      return `read ${count(entry.objects, 'content')} again: ${damage}`
    }
    case 'mended':
      return `mended ${count(entry.objects.length, 'content')} from ${entry.from}`
    case 'backed-up':
      return `copied the archive to ${entry.place}`
    case 'restored':
      return `restored the archive from ${entry.place}`
    case 'witness-named':
      return `named the witness ${entry.key.split('+')[0]}`
    case 'custodian-named':
      return `named the custodian ${entry.name}`
  }
}

const listNumbers = (accessions: readonly string[]): string =>
  accessions.length > 5
    ? `${accessions.slice(0, 4).join(', ')} and ${accessions.length - 4} more`
    : accessions.join(', ')

const scopeWords: Record<keyof Scope, string> = {
  accessions: 'packets',
  vin: 'VIN',
  job: 'job',
  claim: 'claim',
  shop: 'shop',
  receivedFrom: 'received from',
  receivedTo: 'received to',
  words: 'words',
}

export function describeScope(scope: Scope): string {
  const keys = Object.keys(scopeWords) as (keyof Scope)[]
  const parts = keys.flatMap((key) => {
    const value = scope[key]
    if (value === undefined) return []
    return [`${scopeWords[key]} ${typeof value === 'string' ? value : listNumbers(value)}`]
  })
  return `what fits ${parts.join(' and ')}`
}

export function renderHolds(holds: readonly HoldInForce[], options: SheetOptions): string {
  const sheet = makeSheet(options)
  for (const { hold, matter, scope, placedAt, placedBy, why, authority, packets } of holds) {
    sheet.write([span(hold, 'strong'), span(`  ${matter}: ${count(packets, 'packet')}`)])
    const lines = [
      describeScope(scope),
      `Placed ${placedAt.slice(0, 10)} by ${placedBy}`,
      `Why: ${why}`,
      `Authority: ${authority}`,
    ]
    for (const line of lines) sheet.write(line, { first: '        ', rest: '          ' })
  }
  if (holds.length === 0) sheet.write('No hold is in force.')
  return sheet.toString()
}

export function renderFixity({ objects, bytes, damaged }: FixityResult, options: SheetOptions): string {
  const sheet = makeSheet(options)
  const sum = `${count(objects, 'content')}, ${count(bytes, 'byte')}, were read again.`
  const state =
    damaged.length === 0 ? span('All are sound.', 'good') : span(`${damaged.length} are lost or damaged:`, 'bad')
  sheet.write([span(`${sum} `), state])
  for (const sha256 of damaged) sheet.write(sha256, { first: '  ' })
  if (damaged.length > 0) sheet.write('See "witnessmark archive repair-plan".')
  return sheet.toString()
}

/** What a seal that is kept is worth, on which entry of the log it rests, and what of it does not hold. */
export interface SealVerdict {
  accession: string
  index: number
  verdict: 'pass' | 'warn' | 'fail'
  /** Sentences without a full stop; empty where it passes. */
  open: readonly string[]
}

export interface AuditText {
  /** Of the seals that were verified; null where none were. */
  seals: readonly SealVerdict[] | null
  /** Says what can be done, too. */
  plan: boolean
}

/** What was gone through, and what is not as it should be. */
export function renderArchiveAudit(audit: ArchiveAudit, { seals, plan }: AuditText, options: SheetOptions): string {
  const sheet = makeSheet(options)
  const { entries, objects, bytes, logFaults, registerFaults, damaged } = audit
  const line = (verdict: 'pass' | 'warn' | 'fail', what: string) =>
    sheet.write([span(verdictWords[verdict], verdictStyles[verdict]), span(` ${what}`)], {
      first: '  ',
      rest: '       ',
    })
  const part = (faults: readonly unknown[], what: string) => line(faults.length === 0 ? 'pass' : 'fail', what)
  part(logFaults, `The custody log: ${count(entries, 'entry', 'entries')}, every byte as it was signed.`)
  for (const fault of logFaults) sheet.write(fault, { first: '       ' })
  part(registerFaults, 'The register says what the log says.')
  for (const table of registerFaults) sheet.write(`It differs in: ${table}`, { first: '       ' })
  part(damaged, `${count(objects, 'content')}, ${count(bytes, 'byte')}: each is what its digest says.`)
  for (const { sha256, names } of damaged) {
    sheet.write(names.join(', ') || 'belongs to no packet', { first: '       ', rest: '         ' })
    sheet.write([span(sha256, 'quiet')], { first: '         ' })
  }
  if (seals !== null && seals.length > 0) {
    const worst = (['fail', 'warn'] as const).find((one) => seals.some(({ verdict }) => verdict === one)) ?? 'pass'
    line(worst, `${count(seals.length, 'seal')}: every part of each holds.`)
    for (const { accession, index, open } of seals)
      for (const text of open)
        sheet.write(`${accession}, sealed by entry ${index}: ${text}`, { first: '       ', rest: '         ' })
  }
  if (!plan) return sheet.toString()
  sheet.gap()
  sheet.write([span('What can be done', 'strong')])
  for (const step of planRepair(audit)) sheet.write(step, { first: '  - ', rest: '    ' })
  return sheet.toString()
}

/** What can be done about what an audit found. Nothing here does it: a person decides. */
export function planRepair({ logFaults, registerFaults, damaged, unnamed, unfinished }: ArchiveAudit): string[] {
  const steps = [
    ...(logFaults.length === 0
      ? []
      : [
          'Set this folder aside as it is. Restore the log from a backup whose checkpoint you kept elsewhere, and compare: "custody verify" says whether one continues the other.',
        ]),
    ...(registerFaults.length === 0
      ? []
      : [
          'Move register.sqlite out of the folder: it is made again from the log when the archive is next opened. Keep the old one; ask who changed it.',
        ]),
    ...(damaged.length === 0
      ? []
      : [
          'Mend the damaged contents from a copy: "witnessmark archive mend ARCHIVE COPY", where COPY is a backup, a bag or a folder that still has the files; or ask whoever handed the packet over for the same files and add them again.',
        ]),
    ...(unnamed.length === 0
      ? []
      : [
          `${count(unnamed.length, 'content')} on the disk belong to no packet: left by a receipt that never ended, or by a disposal. "witnessmark archive sweep" takes them away.`,
        ]),
    ...(unfinished.length === 0
      ? []
      : [
          `${count(unfinished.length, 'file')} of the log were left by an append that never ended. They count for nothing, and the next entry replaces them.`,
        ]),
  ]
  return steps.length === 0 ? ['Nothing: the archive is whole.'] : steps
}
