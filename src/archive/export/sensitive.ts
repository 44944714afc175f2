/** What of a packet is to be taken out: from the facts of its last report, and from what stands in its texts. */
import type { Report } from '../../findings/report.ts'
import type { Sensitive } from './redactor.ts'

type Value = Sensitive['values'][number]

/** Values that the report read, wherever they stand in it. */
export function valuesOfReport(report: Report): Sensitive {
  const values: Value[] = []
  const places: [number, number][] = []
  const add = (kind: Value['kind'], text: string | undefined | null) => {
    if (text) values.push({ kind, text })
  }
  add('vin', report.vehicle.vin)
  for (const document of report.documents) {
    add('vin', document.vin)
    for (const { value } of document.vins ?? []) add('vin', value)
    add('plate', document.plate)
    add('people', document.technician)
    for (const { name } of document.people ?? []) add('people', name)
    for (const place of [document.drive?.start, document.drive?.end, document.photo?.location])
      if (place) places.push([place[0], place[1]])
  }
  collectKeys(report, add)
  return { values, places }
}

/** Whatever has such a key, in findings and vehicle too. */
function collectKeys(value: unknown, add: (kind: Value['kind'], text: string) => void): void {
  if (Array.isArray(value)) for (const one of value) collectKeys(one, add)
  if (typeof value !== 'object' || value === null) return
  for (const [key, own] of Object.entries(value)) {
    if (key === 'plate' && typeof own === 'string') add('plate', own)
    else if (key === 'technician' && typeof own === 'string') add('people', own)
    else collectKeys(own, add)
  }
}

/** Words that stand where a name might, and are none. */
const noNames =
  /\b(?:front|rear|left|right|camera|radar|sensor|calibration|target|pass|fail|date|time|shop|vehicle|number|report|repair|scan|technician|driver|signature|service|center|centre|collision|insurance|mutual|road|street|drive|claim|order|work|total|phone|address|email|name|license|licence|id|no)\b/i

/** Read on from a label; cases count, as a name begins with a capital. */
const name = /["']?(\p{Lu}[\p{L}\p{M}'’.-]*(?:[ \t]+\p{Lu}[\p{L}\p{M}'’.-]*){1,3})/uy

/** A label that names people, up to the name behind it on its line. */
const label =
  /\b(?:technician|technicien|techniker|t[ée]cnico|tech|driver|observer|reviewer|inspector|operator|estimator|appraiser|adjuster|advisor|adviser|manager|foreman|customer|client|kunde|cliente|owner|halter|insured|claimant|policyholder|contact|author|calibrator|mechanic|mechaniker|by|signed|bearbeiter|fahrer|conductor|conducteur)(?:[ _-]?name)?["']?[ \t]{0,3}[:=|,;\t ][ \t]{0,20}/giu

function* namesBehindLabels(text: string): Generator<string> {
  for (const found of text.matchAll(label)) {
    name.lastIndex = found.index + found[0].length
    const [, one = ''] = name.exec(text) ?? []
    if (one !== '' && !noNames.test(one)) yield one
  }
}

const vinShaped =
  /(?<![A-Za-z0-9])(?=[A-HJ-NPR-Z0-9]*[A-HJ-NPR-Z])(?=(?:[A-HJ-NPR-Z]*\d){4})[A-HJ-NPR-Z0-9]{17}(?![A-Za-z0-9])/gi

const mail = /[\w.+-]+@[\w-]+(?:\.[\w-]+)+/g

const plateLabelled =
  /\b(?:licen[cs]e[ _-]?plate|plate(?:[ _-]?(?:no|number))?|kennzeichen|matr[ií]cula|immatriculation|registration)["']?\s{0,3}[:=|,;\t ]\s{0,20}["']?([A-Z0-9]{1,4}(?:[ ·-][A-Z0-9]{1,5}){0,2})\b/gi

/** The people of a packet.yaml. */
function* declaredNames(text: string): Generator<string> {
  const [, block = ''] = /^people:[ \t]*(.*(?:\r?\n[ \t-].*)*)/m.exec(text) ?? []
  for (const [, one = ''] of block.matchAll(/\bname["']?:[ \t]*["']?([^"'\n\r,}]+)/g)) yield one.trim()
}

/** Values that stand in a text behind their labels, or have a form that nothing else has. */
export function valuesOfText(text: string): Value[] {
  const people = [...namesBehindLabels(text), ...declaredNames(text)]
  const plates = [...text.matchAll(plateLabelled)]
    .map(([, one = '']) => one)
    .filter((one) => /\d/.test(one) && one.length >= 4)
  return [
    ...(text.match(vinShaped) ?? []).map((one): Value => ({ kind: 'vin', text: one })),
    ...plates.map((one): Value => ({ kind: 'plate', text: one })),
    ...people.map((one): Value => ({ kind: 'people', text: one })),
    ...(text.match(mail) ?? []).map((one): Value => ({ kind: 'people', text: one })),
  ]
}
