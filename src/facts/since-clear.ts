/**
 * What has passed since trouble codes were cleared, and whether a code's test has run since: as the vehicle counts it
 * (SAE J1979 / ISO 15031-5 service 01, PIDs 30, 31 and 4E, from memory) and as the status byte tells (ISO 14229-1).
 */
import type { SinceClear, TestState } from './document.ts'
import { type NumberStyle, readNumber } from './number-text.ts'
import { decodeStatusByte } from './trouble-code-bytes.ts'

/** What bits 4 and 6 of a status byte (0-255 or two hexadecimal digits) tell of the test; null for no byte. */
export function testStateFromByte(byte: number | string): TestState | null {
  const bits = decodeStatusByte(byte)
  if (bits === null) return null
  if (bits.testNotCompletedSinceClear) return 'not-since-clear'
  return bits.testNotCompletedThisCycle ? 'not-this-cycle' : 'completed'
}

const NOT_DONE =
  '(?:not|never|not yet)(?: yet)?(?: been)? (?:re[- ]?)?(?:completed?|run|tested|finished|executed|performed)'
const CLEARING =
  '(?:(?:the|all|last|dtcs?|codes?|faults?|fault memory|memory|was|were|been|has|have) )*(?:clear|eras|reset|delet)'
const NOT_SINCE = new RegExp(
  `\\b(?:${NOT_DONE}|incomplete)\\b.{0,20}\\bsince (?:${CLEARING})|\\bnot re[- ]?tested\\b`,
  'i',
)
const NOT_IN_CYCLE = new RegExp(
  `\\b(?:${NOT_DONE}|incomplete)\\b.{0,20}\\b(?:this|current|present|last) (?:(?:monitoring|operation|drive|driving|ignition) )?(?:cycle|trip)|\\btest (?:${NOT_DONE}|incomplete)\\b|^\\W*(?:${NOT_DONE})\\W*$`,
  'i',
)
const DONE = /\btest (?:was )?(?:completed?|passed|run)\b|\b(?:re[- ]?)?tested (?:since|and passed|ok)\b/i

/** What words such as "test not completed since clear", "not tested this cycle", "test passed" tell; null when none do. */
export function testStateFromWords(text: string): TestState | null {
  const plain = text.slice(0, 400).replace(/[\s_-]+/g, ' ')
  if (NOT_SINCE.test(plain)) return 'not-since-clear'
  if (NOT_IN_CYCLE.test(plain)) return 'not-this-cycle'
  return DONE.test(plain) ? 'completed' : null
}

/** Decodes the data bytes of PID 31 (km), 30 (warm-ups) or 4E (minutes); null for other PIDs or counts of bytes. */
export function decodeSinceClear(pid: number, bytes: readonly number[]): Omit<SinceClear, 'text'> | null {
  const [a, b] = bytes
  if (a === undefined || bytes.some((byte) => !Number.isInteger(byte) || byte < 0 || byte > 255)) return null
  if (pid === 0x30 && bytes.length === 1) return { cycles: a }
  if (b === undefined || bytes.length !== 2) return null
  if (pid === 0x31) return { metres: (256 * a + b) * 1000 }
  return pid === 0x4e ? { minutes: 256 * a + b } : null
}

const SINCE =
  /\bsince (?:(?:the|all|last|diagnostic|trouble|fault|dtcs?|codes?|faults?|memory|mil|was|were|been|has|have) )*(?:clear(?:ed|ing|ance)?|eras(?:ed|ure|ing)|reset|delet(?:ed|ion))(?: of (?:the )?(?:dtcs?|codes?|faults?|fault memory))?\b/i
const RAW =
  /\bPID (?:0x)?(30|31|4E)\b[^0-9A-Za-z]{1,12}(?:[A-Za-z][^:=]{0,60}[:=] ?)?((?:0x)?[0-9A-F]{2}(?: ?(?:0x)?[0-9A-F]{2})?)(?![0-9A-Za-z.,]| ?(?:km|mi|min)\b)/i
const AMOUNT = '(\\d[\\d.,]*) ?([A-Za-z][A-Za-z-]*)?'
const BEHIND = new RegExp(`^[ :=.(]{0,8}${AMOUNT}`)
const BEFORE = new RegExp(`(?<![\\w.,])${AMOUNT}(?: [a-z-]+){0,2} $`, 'i')

const isKilometre = (text: string) => /\bkm\b|kilomet/i.test(text)
const isMile = (text: string) => /\bmi\b|\bmiles?\b/i.test(text)

/** Such words alone, perhaps behind a word for a note: they tell of the scan. In a table's cell they tell of its row. */
const UNTESTED = new RegExp(
  `^(?:(?:note|notes|remark|remarks|comment|hint|info)\\b[ :,.-]*)?(?:(?:the|some|all|diagnostic|self) )*tests?(?: (?:of|for) (?:the )?(?:cleared )?(?:dtcs?|codes?|faults?))?(?: (?:was|were|is|are|has|have))?(?: been)? ${NOT_DONE} since (?:${CLEARING})(?:ed|ing|ance|ure|ion|e)?(?: (?:of )?(?:the )?(?:dtcs?|codes?|faults?|fault memory))?[ .]*$`,
  'i',
)

/** True for a line that says nothing but that tests were not completed since the codes were cleared. */
export function tellsUntested(line: string): boolean {
  return UNTESTED.test(
    line
      .slice(0, 400)
      .replace(/[\s_-]+/g, ' ')
      .trim(),
  )
}

/** What one line tells, `3 km since codes cleared` or `Warm-ups since clear: 1`; null when it tells nothing of that. */
export function readSinceClear(line: string, style: NumberStyle = {}): SinceClear | null {
  const text = line.slice(0, 400).replace(/\s+/g, ' ').trim()
  const raw = RAW.exec(text)
  if (raw?.[1] && raw[2]) {
    const bytes = raw[2].replace(/0x| /gi, '').match(/../g) ?? []
    const decoded = decodeSinceClear(
      Number.parseInt(raw[1], 16),
      bytes.map((byte) => Number.parseInt(byte, 16)),
    )
    return decoded && { ...decoded, text }
  }
  const since = SINCE.exec(text)
  if (since === null) return null
  const label = text.slice(0, since.index)
  const found = BEHIND.exec(text.slice(since.index + since[0].length)) ?? BEFORE.exec(label)
  const value = found?.[1] === undefined ? null : readNumber(found[1].replace(/[.,]$/, ''), style)
  if (found === null || value === null || value < 0) return null
  return measure(value, found[2] ?? '', label, text)
}

function measure(value: number, unit: string, label: string, text: string): SinceClear | null {
  const named = `${unit} ${label}`
  if (isKilometre(unit) || isMile(unit)) return { metres: Math.round(value * (isMile(unit) ? 1609.344 : 1000)), text }
  if (/^h(?:ours?|rs?)?$/i.test(unit)) return { minutes: value * 60, text }
  if (/^min/i.test(unit)) return { minutes: value, text }
  if (/warm-? ?ups?|cycles?|trips?|starts\b/i.test(named))
    return Number.isInteger(value) ? { cycles: value, text } : null
  if (unit !== '') return null
  if (isKilometre(label) !== isMile(label))
    return { metres: Math.round(value * (isMile(label) ? 1609.344 : 1000)), text }
  return /\bminutes?\b|\bmin\b/i.test(label) ? { minutes: value, text } : null
}
