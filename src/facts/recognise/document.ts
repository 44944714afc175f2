/** One file's reading → its facts, each with its place: the `read` result. */
import type { DateReading, DocumentFacts, DocumentKind, PhotoSubject } from '../document.ts'
import { isIllegible } from '../illegible.ts'
import { type Layout, type Line, placeOfCells } from '../layout.ts'
import { type Choice, tellChoices } from '../look-alikes.ts'
import { PARTIAL_RANK } from '../page/label-spots.ts'
import type { Reading } from '../reading.ts'
import { readSinceClear, tellsUntested } from '../since-clear.ts'
import { findTroubleCodes, type TroubleCode } from '../trouble-code.ts'
import { holdsByLookAlikes } from '../vin-text.ts'
import type { Vocabulary } from '../vocabulary.ts'
import { dateWithDay } from './calibration-draft.ts'
import { outcomeOf } from './calibration-outcomes.ts'
import { firstSectionLine } from './calibration-sections.ts'
import { readCalibrations } from './calibrations.ts'
import { readConditions } from './conditions.ts'
import { measureDrive } from './drive.ts'
import { readHeader } from './header.ts'
import { tellKind } from './kind.ts'
import { readMeasured } from './measured.ts'
import { readOperations } from './operations.ts'
import { readPageCodes } from './page-codes.ts'
import { readPeople, saysSecondPerson } from './people.ts'
import { readPhoto } from './photo.ts'
import { settlePicturedCodes } from './pictured-codes.ts'
import { readScan } from './scan.ts'
import { datesIn, fieldsFor, note, readSheet, type Sheet } from './sheet.ts'
import { readSignature } from './signature.ts'
import { findUnreadCodes } from './unread-codes.ts'

export interface DocumentSource {
  /** Path in the packet. */
  file: string
  sha256: string
  bytes: number
  media: string
  /** Declared by the packet: wins over what the document says. */
  kind?: DocumentKind
  /** What a photo shows, as declared by the packet: wins over its name and caption. */
  shows?: PhotoSubject['shows']
}

const isScan = (kind: DocumentKind) => kind === 'pre-scan' || kind === 'post-scan' || kind === 'scan'

const NUMBERS = 'zero one two three four five six seven eight nine ten'.split(' ')

const GONE = '(?:(?:were|was|have been|has been|had been) )?(?:cleared|erased|deleted|repaired|fixed|resolved)'
/** "3 codes cleared before this scan": not codes that are there. */
const CLEARED = new RegExp(`\\b(?:faults?|codes?|dtcs?|entr(?:y|ies))\\s+${GONE}\\b`, 'i')

/** A count of codes that are there. */
const COUNTED = new RegExp(
  `(?<![\\d.,-])\\b(\\d{1,3}|no|${NUMBERS.join('|')})\\s+(?:stored |active |trouble |fault |diagnostic trouble )*(?:faults?|codes?|dtcs?|entr(?:y|ies))\\b(?!\\s*\\d)(?!\\s+${GONE}\\b)`,
  'i',
)

/** "1. Control units", or "1 Modules found" in letters that set it off: the number counts headings. */
function isNumberedHeading({ layout }: Sheet, line: Line): boolean {
  if (/^\d{1,2}[.)]\s+\p{Lu}/u.test(line.text)) return true
  return (line.bold || line.size > 1.05 * layout.bodySize) && /^\d{1,2}\s+\p{Lu}/u.test(line.text)
}

/** "16 control units answered, 0 DTC": counts in running text. */
function countInText(sheet: Sheet, key: 'codeCount' | 'moduleCount'): { count: number; line: number } | null {
  const { vocabulary } = sheet
  const rows = new Set(sheet.tables.flatMap((table) => table.rows.map(({ line }) => line.index)))
  for (const line of sheet.lines) {
    // "Powertrain  No fault codes" counts those of one module.
    if (rows.has(line.index) || line.cells.length > 2 || /^[✓✗✘-]/.test(line.text) || isNumberedHeading(sheet, line))
      continue
    const tokens = vocabulary.tokens(line.text)
    if (tokens.length > 20 || tokens.length < 2) continue
    const told = key === 'codeCount' ? COUNTED.exec(line.text)?.[1]?.toLowerCase() : undefined
    const spelled = told === undefined ? -1 : NUMBERS.indexOf(told)
    if (told !== undefined && (tokens.length > 3 || spelled > 0))
      return { count: spelled >= 0 ? spelled : /^\d/.test(told) ? Number(told) : 0, line: line.index }
    if (key === 'codeCount' && CLEARED.test(line.text)) continue
    for (let i = 0; i + 1 < tokens.length; i++) {
      const token = tokens[i] ?? ''
      if (!/^\d{1,3}$/.test(token) && token !== 'no' && token !== 'zero') continue
      const hit = vocabulary.labels
        .allAt(tokens, i + 1)
        .find(({ entries }) => entries.some((entry) => entry.key === key))
      // The number of a module list's own row ("1 DTC") is no count of the document.
      if (hit && (tokens.length > hit.length + 1 || line.cells.length === 1) && !(token === 'no' && tokens.length > 4))
        return { count: /^\d/.test(token) ? Number(token) : 0, line: line.index }
    }
  }
  return null
}

function readCounts(sheet: Sheet, facts: DocumentFacts): void {
  for (const key of ['codeCount', 'moduleCount'] as const) {
    const target = key === 'codeCount' ? 'statedCodeCount' : 'statedModuleCount'
    const field = fieldsFor(sheet, key).find(({ value }) =>
      /^\(?(?:\d{1,3}\b(?![.,/:-]\d)|none|no\b(?!\.)|nil|zero)/i.test(value),
    )
    if (field) {
      const digits = /\d+/.exec(field.value)?.[0]
      facts[target] = digits === undefined ? 0 : Number(digits)
      note(sheet, target, field.place)
      continue
    }
    const counted = countInText(sheet, key)
    if (counted) {
      facts[target] = counted.count
      const line = sheet.layout.lines[counted.line]
      if (line) note(sheet, target, placeOfCells(line.cells))
    }
  }
}

/** The date that belongs to a statement: the first behind its word, else the line's only one. */
function dateOfStatement(sheet: Sheet, text: string, tokens: readonly string[], hit: { from: number } | undefined) {
  const dates = datesIn(sheet, text)
  const word = tokens[hit?.from ?? 0] ?? ''
  const at = text.toLowerCase().indexOf(word)
  return datesIn(sheet, at < 0 ? '' : text.slice(at))[0] ?? (dates.length === 1 ? dates[0] : undefined)
}

/**
 * The date that stands beside, above or beneath the name of who released the vehicle, on a paper about its release: the
 * two are signed together (common practice, no source).
 */
function dateBesideName(sheet: Sheet, line: Line): DateReading | undefined {
  const isNamed = sheet.fields.some(({ line: at, meanings }) => {
    return at === line.index && meanings.some(({ key, rank }) => key === 'reviewer' && rank < PARTIAL_RANK)
  })
  if (!isNamed) return undefined
  const at = sheet.lines.indexOf(line)
  const around = [line, sheet.lines[at - 1], sheet.lines[at + 1]].filter((one) => one !== undefined)
  // Either the label or, where it stands beneath that, the date itself.
  const near = fieldsFor(sheet, 'date').filter(({ line: label, words: [first] }) =>
    around.some(({ index, cells }) => {
      return index === label || (first !== undefined && cells.some(({ words }) => words.includes(first)))
    }),
  )
  return near.flatMap(({ value }) => datesIn(sheet, value))[0]
}

function readStatements(sheet: Sheet, facts: DocumentFacts): void {
  const statements: NonNullable<DocumentFacts['statements']> = []
  for (const line of sheet.lines) {
    const tokens = sheet.vocabulary.tokens(line.text)
    const hits = sheet.vocabulary.statements.within(tokens)
    if (hits.length === 0 || tokens.length < 3) continue
    for (const about of new Set(hits.map((hit) => hit.entries[0]?.key))) {
      if (!about) continue
      if (about === 'codes-cleared' && !/code|fault|dtc|entr|memory/i.test(line.text)) continue
      if (about === 'watched') {
        const told = hits.some((hit) => hit.entries[0]?.key === about && saysSecondPerson(sheet, tokens, hit.from))
        if (!told || isScan(facts.kind)) continue
      }
      const hit = hits.find(({ entries }) => entries[0]?.key === about)
      const date =
        dateOfStatement(sheet, line.text, tokens, hit) ??
        (about === 'released' && facts.kind === 'statement' ? dateBesideName(sheet, line) : undefined)
      if ((about === 'released' || about === 'repaired') && !date) continue
      note(sheet, `statements.${statements.length}`, placeOfCells(line.cells))
      statements.push({ about, text: line.text, ...(date ? { date } : {}) })
    }
  }
  if (statements.length > 0) facts.statements = statements
}

function readAlignment(sheet: Sheet, facts: DocumentFacts): void {
  const values = readMeasured(sheet, 0, Number.POSITIVE_INFINITY)
  values.forEach((found, i) => {
    note(sheet, `alignment.values.${i}`, found.place)
  })
  const field = fieldsFor(sheet, 'outcome').find(({ value }) => outcomeOf(value, sheet.vocabulary) !== null)
  let outcome = field ? outcomeOf(field.value, sheet.vocabulary) : null
  if (field) note(sheet, 'alignment.outcome', field.place)
  if (!outcome) {
    const line = sheet.lines.find(
      ({ text, cells }) =>
        cells.length === 1 && /align|geometry|result/i.test(text) && outcomeOf(text, sheet.vocabulary) === 'completed',
    )
    outcome = line ? 'completed' : null
  }
  facts.alignment = { values: values.map((found) => found.value), outcome: outcome ?? 'unknown' }
  for (const field of fieldsFor(sheet, 'ended')) {
    const ended = dateWithDay(sheet, field.value, facts.date)
    if (!ended) continue
    facts.alignment.ended = ended
    note(sheet, 'alignment.ended', field.place)
    break
  }
}

/** What has passed since codes were cleared, of all lines that tell it; a line about one code is none of these. */
function noteSinceClear(sheet: Sheet, facts: DocumentFacts): void {
  for (const line of sheet.lines) {
    if (findTroubleCodes(line.text).length > 0) continue
    const untested = tellsUntested(line.text) ? { untested: true as const, text: line.text } : null
    const told = untested ?? readSinceClear(line.text, { decimal: sheet.decimal })
    if (told === null) continue
    facts.sinceClear = { ...told, ...facts.sinceClear }
    note(sheet, 'sinceClear', placeOfCells(line.cells))
  }
}

/** The drive that a record of one road calibration states: its time and distance, without a track. */
function readStatedDrive(facts: DocumentFacts): void {
  const driven = (facts.calibrations ?? []).filter(({ method }) => method === 'dynamic')
  const [only] = driven
  if (!only || driven.length > 1 || (only.distanceMetres === undefined && only.durationSeconds === undefined)) return
  facts.drive = {
    started: null,
    ended: null,
    durationSeconds: only.durationSeconds ?? null,
    distanceMetres: only.distanceMetres ?? null,
    points: 0,
    movingSeconds: null,
    meanSpeedKmh: null,
    maxSpeedKmh: null,
    start: null,
    end: null,
  }
}

/** Modules whose name is read in part are left out, and what is read in part of a code is. */
function keepLegible({ modules, codes }: ReturnType<typeof readScan>): ReturnType<typeof readScan> {
  return {
    modules: modules.filter(({ reading }) => !isIllegible(reading.name)),
    codes: codes.map((found) => {
      const { module, text, ...reading } = found.reading
      const kept = Object.entries({ module, text }).filter(([, part]) => part !== undefined && !isIllegible(part))
      return { ...found, reading: { ...reading, ...Object.fromEntries(kept) } }
    }),
  }
}

/** VINs that the document shows with letters that no VIN has. */
const vinsByLookAlikes = ({ vins = [] }: DocumentFacts): Choice[] =>
  vins.flatMap(({ value, evidence }) =>
    evidence
      .filter(({ text }) => holdsByLookAlikes(text, value))
      .map(({ page, text }) => ({ page, read: text, taken: value })),
  )

/** Of what stands on a photo, that which tells of the vehicle itself: a label's date or number is none of the job's. */
function keepSeen(sheet: Sheet, { vin, vins, odometer }: Partial<DocumentFacts>): Partial<DocumentFacts> {
  for (const key of Object.keys(sheet.evidence)) if (!['vin', 'odometer'].includes(key)) delete sheet.evidence[key]
  return {
    ...(vin === undefined ? {} : { vin }),
    ...(vins === undefined ? {} : { vins }),
    ...(odometer === undefined ? {} : { odometer }),
  }
}

/**
 * Turns a reading into facts. Never throws for what a file holds; what is not there is absent, and what is doubtful is left
 * out with a problem that says so. `known`: trouble codes that other documents of the packet list, by which doubtful ones in
 * a picture are told.
 */
export function recogniseDocument(
  reading: Reading,
  layout: Layout,
  source: DocumentSource,
  vocabulary: Vocabulary,
  known: readonly TroubleCode[] = [],
): DocumentFacts {
  const printed = readSheet(layout, vocabulary)
  const told = source.kind ? { kind: source.kind, from: 'declared' as const } : tellKind(printed, reading, source.file)
  const { kind } = told
  const settled = isScan(kind) ? settlePicturedCodes(printed, layout, known) : null
  const sheet = settled ? readSheet(settled.layout, vocabulary) : printed
  const facts: DocumentFacts = {
    file: source.file,
    sha256: source.sha256,
    bytes: source.bytes,
    media: source.media,
    kind,
    kindFrom: told.from,
    // A photo is a picture: that its words were read from one is no problem of it.
    problems: reading.problems.filter(({ code }) => kind !== 'photo' || code !== 'read-from-picture'),
    evidence: sheet.evidence,
  }
  if (reading.pageCount !== undefined) facts.pages = reading.pageCount
  const before = kind === 'calibration' ? firstSectionLine(sheet) : Number.POSITIVE_INFINITY
  const { header, dateIsOfSaving } = readHeader(sheet, kind, before)
  Object.assign(facts, kind === 'photo' ? keepSeen(sheet, header) : header)
  facts.problems.push(...tellChoices(vinsByLookAlikes(facts), 'the check digit'), ...(settled?.problems ?? []))
  if (isScan(kind)) {
    const scan = keepLegible(readScan(sheet))
    facts.modules = scan.modules.map((found) => found.reading)
    facts.codes = scan.codes.map((found) => found.reading)
    scan.modules.forEach((found, i) => {
      note(sheet, `modules.${i}`, found.place)
    })
    scan.codes.forEach((found, i) => {
      note(sheet, `codes.${i}`, found.place)
    })
    readCounts(sheet, facts)
    const unread = findUnreadCodes(sheet)
    facts.problems.push(...unread.problems)
    if (unread.codes.length > 0) facts.unreadCodes = unread.codes.map(({ reading }) => reading)
    unread.codes.forEach(({ place }, i) => {
      note(sheet, `unreadCodes.${i}`, place)
    })
    noteSinceClear(sheet, facts)
  }
  if (kind === 'calibration') {
    facts.calibrations = readCalibrations(sheet, facts.date)
    const [first] = facts.calibrations
    // Of a run whose start cannot be read in a picture, the end is not its date.
    const seen = reading.problems.some(({ code }) => code === 'read-from-picture')
    const date = first?.started ?? (seen ? undefined : first?.ended)
    if (date && (!facts.date || dateIsOfSaving)) {
      facts.date = date
      sheet.evidence.date = sheet.evidence['calibrations.0.started'] ?? sheet.evidence['calibrations.0'] ?? []
    }
  }
  if (kind === 'calibration') readStatedDrive(facts)
  if (kind === 'alignment') readAlignment(sheet, facts)
  if (isScan(kind) || ['calibration', 'alignment', 'statement'].includes(kind)) {
    const conditions = readConditions(sheet, facts, isScan(kind))
    if (conditions.length > 0) facts.conditions = conditions
  }
  if (kind === 'estimate' || kind === 'invoice') {
    const operations = readOperations(sheet, kind === 'invoice').filter(({ reading }) => !isIllegible(reading.text))
    facts.operations = operations.map((found) => found.reading)
    operations.forEach((found, i) => {
      note(sheet, `operations.${i}`, found.place)
    })
  }
  if (reading.track) {
    const drive = measureDrive(reading.track)
    if (drive) facts.drive = drive
    if (facts.date === undefined && drive?.started) facts.date = drive.started
  }
  readPhoto(reading, facts, sheet.vocabulary)
  if (source.shows && facts.photo) facts.photo.subject = { shows: source.shows, from: 'declared', text: source.shows }
  readPageCodes(reading, facts)
  // A photo is of the moment at which it was taken, whatever stands on it.
  if (kind === 'photo' && facts.photo?.taken) facts.date = facts.photo.taken
  const people = readPeople(sheet, kind)
  if (people.length > 0) facts.people = people
  readStatements(sheet, facts)
  const signature = readSignature(sheet, facts)
  if (signature) {
    facts.technician = signature.name
    note(sheet, 'technician', signature.place)
  }
  return facts
}
