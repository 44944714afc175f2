/** What a few words say of a condition: whether they say it at all, with which figure and limits, and how they call it. */
import type { Condition, ConditionKind } from '../document.ts'
import { type Limits, type NumberStyle, readLimits, readQuantity } from '../quantity.ts'

/** Units that a figure of each kind can have. */
const UNITS: Partial<Record<ConditionKind, RegExp>> = {
  'supply-volts': /^v/i,
  fuel: /^%$/,
  load: /^(?:kg|lbs?)$/i,
  'ride-height': /^(?:mm|cm|in\b.*|inch.*|″|")$/i,
  'steering-zero': /^(?:°|º|deg.*)$/i,
  floor: /^(?:mm|cm|in\b.*|inch.*|″|"|°|º|deg.*|%)$/i,
  'target-distance': /^(?:mm|cm|m|ft|in\b.*|inch.*|″|")$/i,
  'target-height': /^(?:mm|cm|m|ft|in\b.*|inch.*|″|")$/i,
  'target-position': /^(?:mm|cm|in\b.*|inch.*|″|"|°|º|deg.*)$/i,
  light: /^(?:lx|lux)$/i,
}

/** Whether a figure of a kind can have this unit. */
export const isUnitOf = (kind: ConditionKind, unit: string): boolean => UNITS[kind]?.test(unit) ?? false

/** Words that say a condition without a figure. */
const SAID: Partial<Record<ConditionKind, RegExp>> = {
  'tire-pressure': /\b(?:cold|set|adjusted|corrected|inflated)\b/i,
  fuel: /\b(?:full|half|empty|quarters?|thirds?|eighths?|topped|filled)\b|\d\s?\/\s?\d/i,
  load: /\b(?:no|none|nothing|empty|unladen|unloaded|without|removed|driver only|curb|kerb|persons?|people)\b/i,
  'steering-zero': /\b(?:straight|cent(?:er|r)ed|zeroed|level(?:l?ed)?)\b/i,
  // "Floor level" alone is a heading.
  floor: /^\W*level\b|\bleve(?:led|lled)\b|\b(?:is|was|lies|stood) level\b|\b(?:flat|even|uneven)\b/i,
  'target-position': /\b(?:cent(?:er|r)ed|placed|aligned)\b/i,
  light: /\b(?:even|uneven|diffuse|bright|dim|glare|no sun|shaded)\b/i,
}

const IN_ORDER =
  /\b(?:ok|okay|in (?:range|limits?|spec\w*|tolerance|order)|within (?:the )?(?:range|spec\w*|limits?|tolerance)|as (?:specified|prescribed|placard|the placard)|pass(?:ed)?)\b|[✓✔]/i
const OUT_OF_ORDER =
  /\b(?:out of (?:range|spec\w*|limits?|tolerance|order)|outside (?:the )?(?:range|spec\w*|limits?|tolerance)|not (?:ok|level|straight|cent(?:er|r)ed|within|as specified|in (?:range|spec\w*|limits?|tolerance|order))|uneven|too (?:low|high|far|near|close)|nok|fail(?:ed)?)\b|[✗✘]/i
const CHECKED = /\b(?:checked|measured|verified|correct|normal|good|yes)\b/i

/** What says that nothing was recorded. */
const UNKNOWN =
  /^\W*$|^\W*(?:n\/?a|tbd|unknown)\b|\bnot (?:recorded|checked|measured|stated|known|taken|applicable|done|noted|verified)\b/i

/** An instruction is no record: "set tires to 36 psi", "the floor must be level". */
const INSTRUCTION =
  /^\W*(?:check|set|verify|ensure|adjust|inflate|remove|measure|fill|connect|place|park|keep|confirm|make sure|use)\b|\b(?:must|should|shall|ensure|make sure|required?|requires|needs? to|to be|have to|before you)\b/i

const SUPPORT_ON =
  /\b(?:on|connected|attached|in use|used|active|yes|plugged in|running|maintained|supported|stabili[sz]ed)\b/i
const SUPPORT_OFF = /\b(?:off|none|no|not|without|disconnected|unplugged)\b/i
/** Chargers that do not support the supply during the work. */
const OTHER_CHARGER = /\b(?:wireless|on-?board|phone|usb|inductive)\b/i

/** Whether a battery support unit was connected, as far as a text tells. */
export function supportOf(text: string): 'ok' | 'out' | null {
  if (OTHER_CHARGER.test(text) || UNKNOWN.test(text)) return null
  if (SUPPORT_OFF.test(text)) return 'out'
  return SUPPORT_ON.test(text) ? 'ok' : null
}

/** True for an instruction, and for words that say that something was not recorded. */
export function recordsNothing(text: string): boolean {
  return UNKNOWN.test(text) || INSTRUCTION.test(text)
}

/** Whether the words themselves call the condition in or out of order. */
export function callOf(text: string): 'ok' | 'out' | null {
  if (OUT_OF_ORDER.test(text)) return 'out'
  return IN_ORDER.test(text) ? 'ok' : null
}

/** Whether the words say something of the condition that can be called a record of it. */
export function says(kind: ConditionKind, text: string, style: NumberStyle): boolean {
  if (SAID[kind]?.test(text) || CHECKED.test(text) || callOf(text) !== null) return true
  return figureOf(kind, text, style) !== null
}

/** "limit 10 mm", "allowed 10 mm": the most; figures over a length of floor are no limit. */
const plainLimits = (text: string) =>
  text
    .replace(/\bover\s+(?:the\s+)?\d[\d.,]*\s*(?:m|ft|feet|met\w+)\b/gi, ' ')
    .replace(
      /\b(?:limit|allowed|permitted)\b\s*[:=]?\s*(?=\d[\d.,]*\s*(?:[^\s\d.,…–-]{1,4})?\s*(?:[);,.]|$))/gi,
      'max ',
    )

const sameUnit = ({ unit: printed }: Limits, unit: string) =>
  printed === null || printed.toLowerCase() === unit.toLowerCase() || (unit === 'deg' && /^(?:°|º|deg)/i.test(printed))

/** The only figure of its kind in a text, with the limits printed beside it; null where there is none, or several. */
export function figureOf(
  kind: ConditionKind,
  text: string,
  style: NumberStyle,
): Pick<Condition, 'value' | 'unit' | 'least' | 'most'> | null {
  const form = UNITS[kind]
  if (form === undefined) return null
  const plain = plainLimits(text === text.toUpperCase() ? text.toLowerCase() : text)
  const limits = readLimits(plain, style)
  let rest = limits === null ? plain : plain.replace(limits.text, ' ')
  const found: { value: number; unit: string }[] = []
  for (let quantity = readQuantity(rest, style); quantity !== null; quantity = readQuantity(rest, style)) {
    if (quantity.unit !== null && form.test(quantity.unit))
      found.push({ value: quantity.value, unit: quantity.unit.replace(/^[°º]|^deg.*/i, 'deg') })
    rest = rest.slice(quantity.end)
  }
  const [only] = found
  if (only === undefined || found.length > 1) return null
  if (limits === null || !sameUnit(limits, only.unit)) return only
  const { least, most } = limits
  return { ...only, ...(least === undefined ? {} : { least }), ...(most === undefined ? {} : { most }) }
}
