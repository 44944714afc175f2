/** Zones as printed behind a time: numeric offsets and the abbreviations in use. */

/** What a zone printed behind a time says. `offsets`: minutes east of UTC, more than one where the word is ambiguous. */
export interface ZonePrint {
  offsets: readonly number[]
  /** RFC 3339's `-00:00`: UTC is known, the offset of the place is not. */
  placeUnknown: boolean
  /** Length of the text taken, with the space before it. */
  length: number
}

/**
 * Abbreviations with the offsets they stand for, minutes east of UTC. Common practice, no source: nothing standardises
 * them. Ambiguous: CST (North America, China, Cuba), BST (Britain, Bangladesh), IST (Ireland, Israel, India), AST (Atlantic,
 * Arabia); ET, CT, MT, PT say no more than standard or summer time.
 */
const abbreviations: Record<string, readonly number[]> = {
  Z: [0],
  UTC: [0],
  GMT: [0],
  UT: [0],
  UCT: [0],
  ZULU: [0],
  NST: [-210],
  NDT: [-150],
  AST: [-240, 180],
  ADT: [-180],
  EST: [-300],
  EDT: [-240],
  CST: [-360, -300, 480],
  CDT: [-300],
  MST: [-420],
  MDT: [-360],
  PST: [-480],
  PDT: [-420],
  AKST: [-540],
  AKDT: [-480],
  HST: [-600],
  HDT: [-540],
  ET: [-300, -240],
  CT: [-360, -300],
  MT: [-420, -360],
  PT: [-480, -420],
  WET: [0],
  WEST: [60],
  BST: [60, 360],
  IST: [60, 120, 330],
  CET: [60],
  MEZ: [60],
  CEST: [120],
  MESZ: [120],
  EET: [120],
  EEST: [180],
  MSK: [180],
  TRT: [180],
  GST: [240],
  PKT: [300],
  ICT: [420],
  SGT: [480],
  HKT: [480],
  PHT: [480],
  JST: [540],
  KST: [540],
  SAST: [120],
  BRT: [-180],
  ART: [-180],
  AWST: [480],
  ACST: [570],
  ACDT: [630],
  AEST: [600],
  AEDT: [660],
  NZST: [720],
  NZDT: [780],
}

const northAmerican: Record<string, readonly number[]> = { CST: [-360], AST: [-240] }
const european: Record<string, readonly number[]> = { BST: [60] }

const longNames: Record<string, readonly [standard: string, summer: string, either: string]> = {
  eastern: ['EST', 'EDT', 'ET'],
  central: ['CST', 'CDT', 'CT'],
  mountain: ['MST', 'MDT', 'MT'],
  pacific: ['PST', 'PDT', 'PT'],
  alaska: ['AKST', 'AKDT', 'AKST'],
}

// Offsets in use in the IANA database since 1990, so that the end of a range of times is not taken for one.
const inUse = new Set([
  -720, -660, -600, -570, -540, -480, -420, -360, -300, -270, -240, -210, -180, -150, -120, -60, 0, 60, 120, 180, 210,
  240, 270, 300, 330, 345, 360, 390, 420, 480, 510, 525, 540, 570, 600, 630, 660, 690, 720, 765, 780, 825, 840,
])

const numeric = /^([+\-−–])(\d{1,2})(?::?(\d{2}))?(?!\d|:\d|[.,]\d|\s?[ap]\.?m)/i
const worded = /^(?:\(|\[)?([A-Z]{1,5})(?![A-Za-z0-9_/])/
const long = /^\(?(eastern|central|mountain|pacific|alaska)\s(?:(standard|daylight|summer)\s)?time\b/i
const blank = /^[ \t\u00a0\u202f]{0,3}/

export type ZoneContext = 'north-america' | 'europe' | null

/**
 * The zone printed at the start of `text`, right behind a time; null when there is none. `context` settles abbreviations
 * that two continents share. `bareMinus`: whether `-07:00` without UTC or GMT before it may be an offset, which it may not
 * where it could end a range of times.
 */
export function readZone(text: string, context: ZoneContext, bareMinus: boolean): ZonePrint | null {
  const lead = blank.exec(text)?.[0].length ?? 0
  const rest = text.slice(lead, lead + 40)
  const named = long.exec(rest)
  if (named) {
    const names = longNames[(named[1] ?? '').toLowerCase()]
    const name =
      named[2] === undefined
        ? names?.[2]
        : /^s(?:t|u)/i.test(named[2]) && /standard/i.test(named[2])
          ? names?.[0]
          : names?.[1]
    const offsets = name === 'CST' ? [-360] : abbreviations[name ?? '']
    return offsets ? close(text, { offsets, placeUnknown: false, length: lead + named[0].length }) : null
  }
  const word = worded.exec(rest)
  const offsets = word?.[1] ? offsetsOfWord(word[1], context) : undefined
  if (word && offsets) {
    const after = lead + word[0].length
    const tail = blank.exec(text.slice(after))?.[0].length ?? 0
    const signed = readNumeric(text.slice(after + tail), true)
    if (signed && /^(?:UTC|GMT|UT|UCT)$/.test(word[1] ?? ''))
      return close(text, { ...signed, length: after + tail + signed.length })
    const inBrackets = /^\(?(?:UTC|GMT)/.exec(text.slice(after + tail))
    const both = inBrackets ? readNumeric(text.slice(after + tail + inBrackets[0].length), true) : null
    if (inBrackets && both) return close(text, { ...both, length: after + tail + inBrackets[0].length + both.length })
    return close(text, { offsets, placeUnknown: false, length: after })
  }
  const bracket = /^[([]/.exec(rest)?.[0].length ?? 0
  const signed = readNumeric(rest.slice(bracket), bareMinus || bracket === 1)
  return signed ? close(text, { ...signed, length: lead + bracket + signed.length }) : null
}

function offsetsOfWord(word: string, context: ZoneContext): readonly number[] | undefined {
  const local = context === 'north-america' ? northAmerican : context === 'europe' ? european : undefined
  return local?.[word] ?? abbreviations[word]
}

function readNumeric(text: string, minusAllowed: boolean): ZonePrint | null {
  const match = numeric.exec(text)
  if (!match?.[2]) return null
  const negative = match[1] !== '+'
  if (negative && !minusAllowed) return null
  const minutes = Number(match[2]) * 60 + Number(match[3] ?? 0)
  if (!inUse.has(negative ? -minutes : minutes) || Number(match[3] ?? 0) > 59) return null
  return {
    offsets: [negative && minutes > 0 ? -minutes : minutes],
    placeUnknown: negative && minutes === 0,
    length: match[0].length,
  }
}

/** Takes the bracket that closes one opened before the zone. */
function close(text: string, print: ZonePrint): ZonePrint {
  const opened = /[([]/.test(text.slice(0, print.length))
  const closes = /^\s?[)\]]/.exec(text.slice(print.length))
  return opened && closes ? { ...print, length: print.length + closes[0].length } : print
}
