/** Which vehicle a document describes: its model year, make and model, under labels or by their shape. */
import type { DocumentFacts } from '../document.ts'
import { placeOfCells } from '../layout.ts'
import type { Place } from '../reading.ts'
import { fieldsFor, note, type Sheet } from './sheet.ts'

/** A model year and two names behind it, not the year of a date. */
const VEHICLE =
  /(?<!\b(?:[Jj]an|[Ff]eb|[Mm]ar|[Aa]pr|[Mm]ay|[Jj]un|[Jj]ul|[Aa]ug|[Ss]ep|[Oo]ct|[Nn]ov|[Dd]ec|JAN|FEB|MAR|APR|MAY|JUN|JUL|AUG|SEP|OCT|NOV|DEC)[A-Za-z]*\.?[ ,-]{1,2}|\d[,./-]{1,2} ?)(?<![\d-])\b((?:19[89]|20[0-4])\d\s+\p{Lu}[\p{L}'’-]+\s+(?:\p{Lu}[\p{L}\p{N}'’-]*|[A-Z0-9]{1,5}))/u

/** The vehicle's year, make and model; undefined where the document describes none. */
export function readVehicle(sheet: Sheet): DocumentFacts['vehicle'] {
  const vehicle: NonNullable<DocumentFacts['vehicle']> = {}
  const described = fieldsFor(sheet, 'vehicle').map((field) => field)
  const take = (text: string, place: Place): boolean => {
    const found =
      /^((?:19|20)\d{2})\s+(\p{L}[\p{L}\p{N}'’.-]*)(?:\s+([\p{L}\p{N}][\p{L}\p{N}'’. -]*?))?(?:\s*[,;(|·].*)?$/u.exec(
        text.trim(),
      )
    if (!found?.[1] || !found[2]) return false
    vehicle.year = Number(found[1])
    vehicle.make = found[2]
    if (found[3]) vehicle.model = found[3]
    note(sheet, 'vehicle', place)
    return true
  }
  const yearField = fieldsFor(sheet, 'year').find((field) => /^(?:19|20)\d{2}\b/.test(field.value))
  const one = described.find((field) => take(field.value, field.place))
  if (!one) {
    const loose = described.find((field) => /\b(?:19|20)\d{2}\b/.test(field.value))
    const year = loose && /\b((?:19[89]|20[0-4])\d)\b/.exec(loose.value)?.[1]
    if (loose && year) {
      vehicle.year = Number(year)
      const words = loose.value
        .replace(year, ' ')
        .replace(/\b(?:model year|year|MY)\b/g, ' ')
        .replace(/[(),;/]+/g, ' ')
        .trim()
        .split(/\s+/)
        .filter((word) => /^\p{L}/u.test(word))
      if (words[0]) vehicle.make = words[0]
      if (words[1]) vehicle.model = words.slice(1, 3).join(' ')
      note(sheet, 'vehicle', loose.place)
    } else if (!yearField) {
      // "2021 Zephyle Moor" without a label, among the labels of the head.
      for (const line of sheet.lines.slice(0, 40)) {
        const cell = line.cells.find((other) => VEHICLE.test(other.text))
        const words = cell && VEHICLE.exec(cell.text)?.[1]
        if (cell && words && take(words, placeOfCells([cell]))) break
      }
    }
  }
  if (yearField) {
    vehicle.year = Number(yearField.value.slice(0, 4))
    note(sheet, 'vehicle', yearField.place)
  }
  const make = fieldsFor(sheet, 'make').find((field) => /^\p{L}/u.test(field.value))
  const model = fieldsFor(sheet, 'model').find((field) => !/^(?:static|dynamic)/i.test(field.value))
  // "Model: Salvora Lince 2022": the year behind the names, where no other label gives it.
  const modelYear = model && /^\p{L}{2}.*\s\(?((?:19[89]|20[0-4])\d)\)?$/u.exec(model.value)?.[1]
  if (model && modelYear !== undefined && vehicle.year === undefined) {
    vehicle.year = Number(modelYear)
    note(sheet, 'vehicle', model.place)
  }
  // "Make / Model: Corvane M4": one value holds both.
  const [maker, ...rest] = make !== undefined && make.place === model?.place ? make.value.split(/\s+/) : []
  if (make && vehicle.make === undefined) vehicle.make = maker ?? make.value
  if (rest.length > 0 && vehicle.model === undefined) vehicle.model = rest.join(' ')
  if (model && vehicle.model === undefined && (make || yearField)) vehicle.model = model.value
  if (vehicle.make === undefined && one === undefined && described[0] && (yearField || make)) {
    const words = described[0].value.split(/\s+/).filter((word) => /^\p{L}/u.test(word))
    if (words[0]) vehicle.make = words[0]
    if (words[1] && vehicle.model === undefined) vehicle.model = words.slice(1, 3).join(' ')
  }
  return Object.keys(vehicle).length > 0 ? vehicle : undefined
}
