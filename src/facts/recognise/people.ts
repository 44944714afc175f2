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

/** A name without what goes on behind it: a title, a date, the next sentence. */
function nameIn(value: string): string | null {
  const name = value
    .replace(/\s*[([,;/].*$/, '')
    .replace(/\s+[-–—]\s.*$/, '')
    .replace(/(\p{L}{3,})\.(?:\s.*)?$/u, '$1')
    .trim()
  return FULL_NAME.test(name) && !/\d/.test(name) ? name : null
}

/** An inspector is who read the instrument on a record of it, and who reviewed the vehicle on any other paper. */
function means(field: Field, role: PersonRole, kind: DocumentKind): boolean {
  const known = field.meanings.filter(({ rank }) => rank < PARTIAL_RANK)
  if (!known.some(({ key }) => key === role)) return false
  const operated = known.some(({ key }) => key === 'technician')
  return role !== 'reviewer' || !operated || kind === 'statement' || kind === 'invoice'
}

const NAME = "(\\p{Lu}[\\p{L}'’-]*\\.?(?: \\p{Lu}[\\p{L}'’-]*\\.?){0,2} \\p{Lu}[\\p{L}'’-]+)"
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

/** Each person once in each role, in the order of roles and of lines; none on an estimate, which speaks of no work done. */
export function readPeople(sheet: Sheet, kind: DocumentKind): PersonReading[] {
  if (kind === 'estimate') return []
  const people: PersonReading[] = []
  const add = (person: PersonReading, place: Place): void => {
    if (people.some(({ name, role }) => name === person.name && role === person.role)) return
    note(sheet, `people.${people.length}`, place)
    people.push(person)
  }
  for (const role of roles) {
    for (const field of fieldsFor(sheet, role)) {
      const name = means(field, role, kind) ? nameIn(field.value) : null
      if (name !== null) add({ name, role }, field.place)
    }
  }
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
    // "Passenger airbag read" speaks of no person: a word that is said of seats and doors too stands right before the verb.
    const most = length > 1 || tokens[at] === 'observer' ? 2 : 0
    return gap >= 0 && gap <= most && entries.some(({ key }) => key === 'observer')
  })
}
