/**
 * Diagnostic trouble codes (SAE J2012, ISO 15031-6), as instruments print them.
 *
 * Two bytes make five characters: bits 15-14 give P C B U, bits 13-12 a digit 0-3, then three hexadecimal digits. A third
 * byte, where the module reports one, is the failure type: two hexadecimal digits after the code.
 */
import type { CodeStatus } from './document.ts'

export interface TroubleCode {
  /** Letter, digit 0-3, three hexadecimal digits; upper case. */
  code: string
  /** Two hexadecimal digits, upper case; null where none is given. */
  failureType: string | null
}

const whole =
  /^([PCBU][0-3][0-9A-F]{3})(?:\s?[-–‑:/._ ]\s?(?:0x)?([0-9A-F]{2})h?|\s?[([](?:0x)?([0-9A-F]{2})h?[)\]]|([0-9A-F]{2}))?(?:\s?[-:/ ]\s?[0-9A-F]{2})?$/i

/** True for exactly five characters of the code's structure, upper case. */
export function isWellFormedCode(code: string): boolean {
  return /^[PCBU][0-3][0-9A-F]{3}$/.test(code)
}

/**
 * Reads a text that is one code and nothing else: `U0155`, `u0155-87`, `U0155:87`, `U0155 87`, `U0155/87`, `U015587`; a
 * status byte behind the failure type (`U0155-87-2F`) is passed over. Null for anything else.
 */
export function parseTroubleCode(text: string): TroubleCode | null {
  const match = whole.exec(text.trim().slice(0, 32))
  if (!match?.[1]) return null
  const failureType = match[2] ?? match[3] ?? match[4] ?? null
  return { code: match[1].toUpperCase(), failureType: failureType?.toUpperCase() ?? null }
}

/** The code as written in our reports: `U0155` or `U0155-87`. */
export function formatTroubleCode(code: TroubleCode): string {
  return code.failureType === null ? code.code : `${code.code}-${code.failureType}`
}

/**
 * Reads two or three raw bytes, as numbers or as hexadecimal text (`C1 55 87`, `0xC15587`, `C15587h`); a fourth byte is a
 * status byte and is passed over. Null for any other number of bytes. Only for what is known to be raw bytes.
 */
export function decodeBytes(bytes: string | readonly number[]): TroubleCode | null {
  const values = typeof bytes === 'string' ? bytesOfText(bytes) : bytes
  const [high, low, type] = values
  if (high === undefined || low === undefined || values.length > 4) return null
  if (values.some((value) => !Number.isInteger(value) || value < 0 || value > 255)) return null
  const letter = 'PCBU'.charAt(high >> 6)
  const digits = ((high & 0x3f) << 8) | low
  const code = letter + digits.toString(16).toUpperCase().padStart(4, '0')
  return { code, failureType: type === undefined ? null : hexadecimal(type) }
}

function bytesOfText(text: string): number[] {
  const digits = text
    .trim()
    .slice(0, 40)
    .replace(/0x/gi, '')
    .replace(/h$/i, '')
    .replace(/[\s,:-]/g, '')
  if (!/^(?:[0-9A-F]{2}){2,4}$/i.test(digits)) return []
  return (digits.match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16))
}

/** The two or three bytes of a code; null when it is not well formed. */
export function encodeBytes(code: TroubleCode): number[] | null {
  if (!isWellFormedCode(code.code)) return null
  if (code.failureType !== null && !/^[0-9A-F]{2}$/i.test(code.failureType)) return null
  const value = ('PCBU'.indexOf(code.code.charAt(0)) << 14) | Number.parseInt(code.code.slice(1), 16)
  const bytes = [value >> 8, value & 0xff]
  if (code.failureType !== null) bytes.push(Number.parseInt(code.failureType, 16))
  return bytes
}

function hexadecimal(value: number): string {
  return value.toString(16).toUpperCase().padStart(2, '0')
}

/** Meanings on which public listings of SAE J2012-DA agree; 56 is from memory and listings conflict. */
const meanings: Record<string, string> = {
  '00': 'no further information',
  '46': 'calibration or parameter memory failure',
  '4A': 'incorrect component installed',
  '4B': 'over temperature',
  '51': 'not programmed',
  '54': 'missing calibration',
  '55': 'not configured',
  '56': 'invalid or incompatible configuration',
  '76': 'wrong mounting position',
  '78': 'alignment or adjustment incorrect',
  '87': 'missing message',
  '92': 'performance or incorrect operation',
  '95': 'incorrect assembly',
  '96': 'component internal failure',
  '97': 'component or system operation obstructed or blocked',
  '98': 'component or system over temperature',
}
const categories = [
  'general failure',
  'general electrical failure',
  'general signal failure',
  'frequency or pulse width failure',
  'system internal failure',
  'system programming failure',
  'algorithm failure',
  'mechanical failure',
  'bus signal or message failure',
  'component failure',
]

/** Plain meaning of a failure type, where public listings agree; null otherwise. Show the raw digits beside it. */
export function failureTypeMeaning(failureType: string): string | null {
  return meanings[failureType.toUpperCase()] ?? null
}

/** The category that the high digit 0-9 stands for; null for A-F, which are reserved or the maker's own. */
export function failureTypeCategory(failureType: string): string | null {
  return /^[0-9][0-9A-F]$/i.test(failureType) ? (categories[Number(failureType.charAt(0))] ?? null) : null
}

export type CalibrationBearing = 'calibration' | 'configuration' | 'mounting' | 'view'

/**
 * How a failure type bears on a sensor's calibration, null when it does not by itself.
 * `calibration`: 54 says it is missing, 46 that its memory failed, 78 that the aim is off.
 * `configuration`: 51, 55, 56: a module that is not programmed or configured cannot hold a valid calibration.
 * `mounting`: 76, 95, 4A: the sensor sits wrong, so that a calibration made so is not valid.
 * `view`: 97: the sensor is covered, so that a calibration cannot complete or the function is off.
 */
export function calibrationBearing(failureType: string): CalibrationBearing | null {
  const type = failureType.toUpperCase()
  if (['54', '46', '78'].includes(type)) return 'calibration'
  if (['51', '55', '56'].includes(type)) return 'configuration'
  if (['76', '95', '4A'].includes(type)) return 'mounting'
  return type === '97' ? 'view' : null
}

/** Whether a failure type alone says that a sensor's calibration is missing, wrong or impossible as it stands. */
export function failureTypeIsCalibration(failureType: string): boolean {
  return calibrationBearing(failureType) !== null
}

export interface StatusByte {
  testFailed: boolean
  testFailedThisCycle: boolean
  pending: boolean
  confirmed: boolean
  testNotCompletedSinceClear: boolean
  testFailedSinceClear: boolean
  testNotCompletedThisCycle: boolean
  warningIndicatorRequested: boolean
}

/** The eight bits of an ISO 14229-1 DTC status byte, bit 0 first. `byte` is 0-255 or two hexadecimal digits; null otherwise. */
export function decodeStatusByte(byte: number | string): StatusByte | null {
  const value = typeof byte === 'number' ? byte : hexadecimalValue(byte)
  if (!Number.isInteger(value) || value < 0 || value > 255) return null
  const bit = (index: number) => ((value >> index) & 1) === 1
  return {
    testFailed: bit(0),
    testFailedThisCycle: bit(1),
    pending: bit(2),
    confirmed: bit(3),
    testNotCompletedSinceClear: bit(4),
    testFailedSinceClear: bit(5),
    testNotCompletedThisCycle: bit(6),
    warningIndicatorRequested: bit(7),
  }
}

function hexadecimalValue(text: string): number {
  const match = /^\s?(?:0x)?([0-9A-F]{1,2})h?\s?$/i.exec(text)
  return match?.[1] ? Number.parseInt(match[1], 16) : Number.NaN
}

/**
 * The status that a status byte tells: test failed now is active; confirmed and still pending is confirmed; confirmed
 * without either is stored (history); pending alone is pending. Anything else is unknown: 50 (cleared and not tested
 * since) is not a pass.
 */
export function statusFromByte(byte: number | string): CodeStatus {
  const bits = decodeStatusByte(byte)
  if (!bits) return 'unknown'
  if (bits.testFailed) return 'active'
  if (bits.confirmed) return bits.pending ? 'confirmed' : 'stored'
  return bits.pending ? 'pending' : 'unknown'
}
