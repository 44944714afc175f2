/** Who drove, who watched the instrument, who reviewed or released the vehicle: from labels, and from plain sentences. */
import type { DocumentKind, PersonReading, PersonRole } from '../document.ts'
import { type Line, placeOfCells } from '../layout.ts'
import type { Field } from '../page/fields.ts'
import { PARTIAL_RANK } from '../page/label-spots.ts'
import type { Place } from '../reading.ts'
import { fieldsFor, note, type Sheet } from './sheet.ts'

const roles: readonly PersonRole[] = ['driver', 'observer', 'reviewer']

/** Given and family name, or initial and family name: one word alone may be a word of the form ("Driver: Drives"). */
const FULL_NAME = /^\p{Lu}[\p{L}'’-]*\.?(?: \p{L}[\p{L}'’-]*\.?){0,3} \p{Lu}[\p{L}'’-]+$/u

/** Words that no name holds and the names of modules and systems do: "Driver Door Module", "Passenger Airbag". */
const NO_NAME =
  /\b(?:airbags?|assist\w*|ok|modules?|units?|control|controller|systems?|sensors?|sensing|seats?|doors?|windows?|mirrors?|switch\w*|heater|side|belts?|front|rear|left|right|camera|radar|monitor\w*|information|display|alert\w*|attention|presence|detection|occupant|knee|name|signature|date|yes|no|none|passed|failed|approved)\b/i

/** A name without what goes on behind it: a title, a date, the next sentence. */
export function nameIn(value: string): string | null {
  const name = value
    .replace(/\s*[([,;/].*$/, '')
    .replace(/\s+[-–—]\s.*$/, '')
    .replace(/(\p{L}{3,})\.(?:\s.*)?$/u, '$1')
    .trim()
  return FULL_NAME.test(name) && !/\d/.test(name) && !NO_NAME.test(name) ? name : null
}

/** An inspector is who read the instrument on a record of it, and who reviewed the vehicle on any other paper. */
function means(field: Field, role: PersonRole, kind: DocumentKind): boolean {
  const known = field.meanings.filter(({ rank }) => rank < PARTIAL_RANK)
  if (!known.some(({ key }) => key === role)) return false
  // "Driver" is also the first word of much that has no colon behind it; "released by" is not.
  if (field.arrangement === 'inline' && !/[:=]/.test(field.place.text) && !/\bby$/i.test(field.label)) return false
  const operated = known.some(({ key }) => key === 'technician')
  return role !== 'reviewer' || !operated || kind === 'statement' || kind === 'invoice'
}

// Bounded, so that a word of thousands of letters is not gone through from each of them.
const NAME =
  "(?<![\\p{L}'’-])(\\p{Lu}[\\p{L}'’-]{0,30}\\.?(?: \\p{Lu}[\\p{L}'’-]{0,30}\\.?){0,2} \\p{Lu}[\\p{L}'’-]{1,30})"
const sentences: readonly { role: PersonRole; form: RegExp }[] = [
  { role: 'driver', form: new RegExp(`${NAME} (?:drove|was driving|was at the wheel)\\b`, 'gu') },
  {
    role: 'observer',
    form: new RegExp(
      `${NAME} (?:watched|observed|monitored|was watching|kept watch on) (?:the |its )?(?:\\p{Ll}+ )?(?:instrument|tool|screen|progress|percentage|percent|device|tester|display|scanner)\\b`,
      'gu',
    ),
  },
]

/** "Hale Morrow drove", "Hale Morrow watched the percentage": names in sentences, whatever form they stand in. */
function peopleInLine(line: Line): PersonReading[] {
  return sentences.flatMap(({ role, form }) =>
    [...line.text.matchAll(form)].flatMap((found) => (found[1] ? [{ role, name: found[1] }] : [])),
  )
}

/**
 * Records of a drive. Scans list what is fitted on the driver's and the passenger's side, and on other papers a "driver" may
 * be who had the accident; sentences about the instrument are believed there all the same.
 */
const driveRecords: ReadonlySet<DocumentKind> = new Set(['calibration', 'drive-log'])
const storytellers: ReadonlySet<DocumentKind> = new Set(['calibration', 'drive-log', 'statement', 'other'])

/** Each person once in each role, in the order of roles and of lines; none on an estimate, which speaks of no work done. */
export function readPeople(sheet: Sheet, kind: DocumentKind): PersonReading[] {
  if (kind === 'estimate') return []
  const labelled = roles.filter((role) => role === 'reviewer' || driveRecords.has(kind))
  const people: PersonReading[] = []
  const add = (person: PersonReading, place: Place): void => {
    if (people.some(({ name, role }) => name === person.name && role === person.role)) return
    note(sheet, `people.${people.length}`, place)
    people.push(person)
  }
  for (const role of labelled) {
    for (const field of fieldsFor(sheet, role)) {
      const name = means(field, role, kind) ? nameIn(field.value) : null
      if (name !== null) add({ name, role }, field.place)
    }
  }
  if (!storytellers.has(kind)) return people
  for (const line of sheet.lines) for (const person of peopleInLine(line)) add(person, placeOfCells(line.cells))
  return people
}

/** Nobody watched, or somebody was to: no statement that it was done. */
const UNSAID = new Set(['no', 'not', 'nobody', 'none', 'without', 'never', 'if', 'must', 'should', 'shall', 'to', 'be'])

/**
 * Does the sentence say that a second person watched the instrument? `from` is the index of the verb. Past tense alone
 * counts (the vocabulary lists it): "a second person watches the tool" is printed on forms as advice.
 */
export function saysSecondPerson(sheet: Sheet, tokens: readonly string[], from: number): boolean {
  if (tokens.some((token) => UNSAID.has(token))) return false
  return sheet.vocabulary.labels.within(tokens).some(({ from: at, length, entries }) => {
    const gap = from - at - length
    const plain = tokens[at] === 'second' || tokens[at] === 'observer'
    // "Passenger airbag read", "parking assistant read" speak of no person; "the passenger read" does.
    const meant = plain ? gap <= 2 : gap === 0 && ['a', 'an', 'the', 'our'].includes(tokens[at - 1] ?? '')
    return gap >= 0 && meant && entries.some(({ key }) => key === 'observer')
  })
}
