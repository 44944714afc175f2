/**
 * Facts read against facts known. Each statement of a document counts once: `right`, `missing` (the reader abstained) or
 * `wrong` (it said something else, or something that is not there). A wrong fact costs more than a missing one.
 */
import type { DateReading, DocumentFacts } from '../../src/facts/document.ts'
import type { Finding } from '../../src/findings/report.ts'
import type { TrueCalibration, TrueDate, TrueDocument, TrueFinding, Truth } from './truth.ts'

export type Grade = 'right' | 'missing' | 'wrong'

export interface Graded {
  fact: string
  grade: Grade
  want: unknown
  have: unknown
}

/** Letters and digits alone, so that punctuation and case do not count. */
const plain = (text: unknown) =>
  String(text)
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, ' ')
    .trim()

const exact = (a: unknown, b: unknown) => String(a).toUpperCase() === String(b).toUpperCase()
/** One may say more than the other: "6614" and "RO 6614". */
const alike = (a: unknown, b: unknown) => plain(a).includes(plain(b)) || plain(b).includes(plain(a))
const within =
  (slack: number, share = 0) =>
  (a: unknown, b: unknown) =>
    Math.abs(Number(a) - Number(b)) <= Math.max(slack, share * Math.abs(Number(b)))

const minute = (date: TrueDate | DateReading | null | undefined) => date?.local?.slice(0, 16)
const offset = (text: string | null | undefined) => (text === 'Z' ? '+00:00' : text)
const known = (value: string | undefined) => (value === 'unknown' ? undefined : value)

class Grades {
  readonly all: Graded[] = []

  add(fact: string, grade: Grade, want: unknown, have: unknown): void {
    this.all.push({ fact, grade, want, have })
  }

  /** One value against another; nothing counts where the truth is silent. */
  value(fact: string, want: unknown, have: unknown, same: (a: unknown, b: unknown) => boolean): void {
    if (want === undefined || want === null) return
    if (have === undefined || have === null) this.add(fact, 'missing', want, have)
    else this.add(fact, same(have, want) ? 'right' : 'wrong', want, have)
  }

  date(fact: string, want: TrueDate | null | undefined, have: DateReading | null | undefined): void {
    if (!want) return
    this.value(fact, minute(want), minute(have), exact)
    this.value(`${fact}.offset`, offset(want.offset), offset(have?.offset), exact)
  }

  /** A list against a list, each read item used once; what is left over is wrong where `closed`. */
  list<Want, Have>(
    fact: string,
    wanted: readonly Want[],
    read: readonly Have[],
    fits: (have: Have, want: Want) => boolean,
    then: (want: Want, have: Have) => void,
    closed: boolean,
  ): void {
    const rest = [...read]
    for (const want of wanted) {
      const at = rest.findIndex((have) => fits(have, want))
      const [have] = at < 0 ? [] : rest.splice(at, 1)
      this.add(fact, have === undefined ? 'missing' : 'right', want, have)
      if (have !== undefined) then(want, have)
    }
    if (closed) for (const extra of rest) this.add(fact, 'wrong', undefined, extra)
  }
}

function gradeCalibrations(grades: Grades, wanted: readonly TrueCalibration[], got: DocumentFacts): void {
  grades.list(
    'calibration',
    wanted,
    got.calibrations ?? [],
    (have, want) =>
      have.sensor === want.sensor &&
      (!want.method || have.method === 'unknown' || have.method === want.method) &&
      (!want.position || !have.position || plain(have.position).includes(plain(want.position))),
    (want, have) => {
      grades.value('calibration.method', want.method, known(have.method), exact)
      grades.value('calibration.outcome', want.outcome, known(have.outcome), exact)
      grades.value('calibration.progress', want.progressPercent, have.progressPercent, exact)
      grades.value('calibration.serial', want.serial, have.serial, alike)
      grades.value('calibration.duration', want.durationSeconds, have.durationSeconds, within(60, 0.01))
      grades.date('calibration.started', want.started, have.started)
      grades.date('calibration.ended', want.ended, have.ended)
      for (const value of want.values ?? []) {
        const hit = have.values?.find(({ name }) => plain(name).includes(plain(value.name)))
        grades.value(`calibration.value ${value.name}`, value.value, hit?.value, within(1e-6))
      }
    },
    false,
  )
}

const codeName = (code: { code: string; failureType?: string | null }) =>
  `${code.code}${code.failureType ? `-${code.failureType}` : ''}`.toUpperCase()

function gradeScan(grades: Grades, want: TrueDocument, got: DocumentFacts): void {
  grades.value('statedCodeCount', want.statedCodeCount, got.statedCodeCount, exact)
  if (want.codes)
    grades.list(
      'code',
      want.codes,
      got.codes ?? [],
      (have, code) => codeName(have) === codeName(code),
      (code, have) => grades.value(`code.status ${code.code}`, code.status, known(have.status), exact),
      true,
    )
  if (want.modules)
    grades.list(
      'module',
      want.modules,
      got.modules ?? [],
      (have, module) => plain(have.name) === plain(module.name),
      (module, have) => grades.value(`module.state ${module.name}`, module.state, known(have.state), exact),
      true,
    )
}

/** Every statement of the truth about one document, graded. */
export function gradeDocument(want: TrueDocument, got: DocumentFacts | undefined): Graded[] {
  const grades = new Grades()
  grades.value('kind', want.kind, got?.kind, exact)
  grades.date('photo.taken', want.photo?.taken, got?.photo?.taken)
  // A photograph's label, its VIN and odometer, are words in a picture.
  if (want.kind === 'photo') return grades.all
  grades.value('vin', want.vin, got?.vin, exact)
  grades.date('date', want.date, got?.date)
  grades.value('odometer', want.odometer?.value, got?.odometer?.value, within(0.5))
  grades.value('odometer.unit', want.odometer?.unit, got?.odometer?.unit, exact)
  grades.value('vehicle.year', want.vehicle?.year, got?.vehicle?.year, exact)
  for (const key of ['jobNumber', 'claimNumber', 'plate', 'technician'] as const)
    grades.value(key, want[key], got?.[key], alike)
  grades.value('batteryVolts', want.batteryVolts, got?.batteryVolts, within(0.05))
  for (const key of ['serial', 'software'] as const)
    grades.value(`instrument.${key}`, want.instrument?.[key], got?.instrument?.[key], alike)
  grades.value('pages', want.pages, got?.pages, exact)
  const facts = got ?? ({} as DocumentFacts)
  gradeScan(grades, want, facts)
  if (want.calibrations) gradeCalibrations(grades, want.calibrations, facts)
  grades.value('drive.points', want.drive?.points, facts.drive?.points, within(2, 0.02))
  grades.value('drive.duration', want.drive?.durationSeconds, facts.drive?.durationSeconds, within(3, 0.02))
  grades.value('drive.distance', want.drive?.distanceMetres, facts.drive?.distanceMetres, within(50, 0.05))
  grades.list(
    'operation',
    want.operations ?? [],
    facts.operations ?? [],
    (have, operation) =>
      alike(have.text, operation.text) ||
      (typeof operation.amount === 'number' && within(0.005)(have.amount ?? Number.NaN, operation.amount)),
    (operation, have) => grades.value(`amount of ${operation.text}`, operation.amount, have.amount, within(0.005)),
    false,
  )
  return grades.all
}

/** Whether a document has words of its own: what only a picture shows is not asked of the reader. */
export function hasText(path: string, want: TrueDocument, got: DocumentFacts | undefined): boolean {
  if (got?.problems.some(({ code }) => code === 'no-text-layer')) return false
  return want.kind === 'photo' || !isPicture(path)
}

const isPicture = (path: string) => /\.(?:jpe?g|png|webp|tiff?)$/i.test(path)

const severity = { pass: 0, 'not-checked': 0, warn: 1, fail: 2 } as const
const baseName = (path: string) => path.slice(path.lastIndexOf('/') + 1)

/** What is wrong with how a planted defect was found; null when it was found and points into the right file. */
export function missedFinding(want: TrueFinding, findings: readonly Finding[]): string | null {
  const named = findings.filter(({ check }) => check === want.check)
  const hit = named.find(({ verdict }) => severity[verdict] >= severity[want.verdict])
  if (!hit)
    return `${want.check}: ${want.verdict} expected (${want.why}), have ${named.map((one) => `${one.verdict}: ${one.reason}`).join('; ')}`
  const files = new Set(hit.evidence.map(({ file }) => baseName(file)))
  if (want.files.length > 0 && !want.files.some((file) => files.has(baseName(file))))
    return `${want.check}: placed in ${[...files].join(', ') || 'no file'}, expected ${want.files.join(', ')}`
  return null
}

/** Failed findings that the truth neither expects nor allows. */
export function falseAlarms(truth: Truth, findings: readonly Finding[]): string[] {
  const fine = new Set([...truth.expected.map(({ check }) => check), ...truth.allowed])
  return findings
    .filter(({ check, verdict }) => verdict === 'fail' && !fine.has(check))
    .map(({ check, reason }) => `${check}: ${reason}`)
}
