/** What an examination of a seal found, for people: part by part, with the fingerprint to read over the telephone. */
import type { SealCertificate, SealExamination, SealPart, SealPartName, SealState } from '../facts/seal.ts'
import type { Verdict } from '../findings/report.ts'
import { makeSheet, type Sheet, type SheetOptions, span } from './sheet.ts'
import { verdictStyles, verdictWords } from './words.ts'

/** A part that lacks is for a person to weigh, as one that is open. */
const verdicts: Record<SealState, Verdict> = {
  holds: 'pass',
  broken: 'fail',
  doubtful: 'warn',
  absent: 'warn',
  unexamined: 'not-checked',
}

const partNames = {
  structure: 'Form of the bag',
  files: 'Files',
  signature: 'Signature',
  signer: 'Signer',
  revocation: 'Revocation',
  stamp: 'Time stamp',
  renewal: 'Renewals',
} as const

/** Nobody gave what could tell of a revocation: that is said, and is no part of the seal that is open. */
const isNotLookedUp = ({ part, code }: SealPart): boolean => part === 'revocation' && code === 'not-looked-up'

/**
 * `fail` where any part is broken, `pass` where every part holds, else `warn`. That a revocation was not looked up, because
 * there is nothing to look it up in, leaves a pass a pass.
 */
export function concludeSeal({ parts }: Pick<SealExamination, 'parts'>): 'pass' | 'warn' | 'fail' {
  if (parts.some(({ state }) => state === 'broken')) return 'fail'
  return parts.every((part) => part.state === 'holds' || isNotLookedUp(part)) ? 'pass' : 'warn'
}

const meanings = {
  pass: 'Every part of the seal holds.',
  warn: 'Nothing is broken; a person must look at what is open.',
  fail: 'These are not the files that were sealed, or they cannot be shown to be.',
} as const

/** Where what was signed is whole, and only whoever stands behind it is in doubt. */
const unvouched = 'The files are those that were signed; what vouches for the signer or the time does not hold.'
const vouching: ReadonlySet<string> = new Set(['signer', 'revocation', 'stamp'])

const notLookedUp = 'Every part of the seal holds; whether a certificate was revoked was not looked up.'

/** SHA-256 in eight groups of eight, to be read out. */
export const groupFingerprint = (fingerprint: string): string => (fingerprint.match(/.{1,8}/g) ?? []).join(' ')

/** A seal in words, for pages. Nothing is neutralised or escaped here. */
export interface SealView {
  verdict: 'pass' | 'warn' | 'fail'
  /** What the verdict means, a sentence. */
  meaning: string
  parts: SealPartView[]
}

export interface SealPartView {
  name: string
  /** What the part is, as the question that it answers. */
  asks: string
  state: SealState
  verdict: Verdict
  /** Why, in a sentence without a full stop. */
  text: string
  /** Single faults, the first of them. */
  faults: string[]
  /** How many more there are. */
  moreFaults: number
}

const questions: Record<SealPartName, string> = {
  structure: 'Is the bag well formed?',
  files: 'Is every file there, unchanged, and none beside?',
  signature: 'Does the signature cover the list of the files?',
  signer: 'Whose certificate is it, was it valid, and is it trusted?',
  revocation: 'Was a certificate revoked?',
  stamp: 'Does a time-stamp authority vouch for the time?',
  renewal: 'Do later stamps carry the proof on?',
}

/** The parts of a seal as `renderSeal` tells them. Pure. */
export function viewSeal({ parts }: Pick<SealExamination, 'parts'>): SealView {
  const verdict = concludeSeal({ parts })
  return {
    verdict,
    meaning: explain(verdict, parts),
    parts: parts.map(({ part, state, text, faults }) => ({
      name: partNames[part],
      asks: questions[part],
      state,
      verdict: verdicts[state],
      text,
      faults: faults.slice(0, mostFaults).map((fault) => fault.text),
      moreFaults: Math.max(0, faults.length - mostFaults),
    })),
  }
}

const column = 7
const fieldColumn = 14

/** The examination of the packet `name`, made at `examined` (RFC 3339). Pure; what a file says is neutralised. */
export function renderSeal(
  seal: SealExamination,
  { name, examined }: { name: string; examined: string },
  options: SheetOptions,
): string {
  const sheet = makeSheet(options)
  const verdict = concludeSeal(seal)
  sheet.write([span(verdictWords[verdict], verdictStyles[verdict]), span(` seal of ${name}`, 'strong')])
  sheet.write(`${explain(verdict, seal.parts)} Examined ${examined}.`)
  sheet.gap()
  for (const part of seal.parts) writePart(sheet, part)
  if (seal.signer !== null) writeCertificate(sheet, 'Signer', seal.signer, seal.claimedTime)
  for (const stamp of seal.stamps) {
    sheet.gap()
    sheet.write([span(`Time stamp in ${stamp.file}`, 'strong')])
    const accuracy = stamp.accuracySeconds === null ? 'accuracy not stated' : `within ${stamp.accuracySeconds} s`
    writeField(sheet, 'Time', `${stamp.time}, ${accuracy}`)
    writeFields(sheet, stamp.authority)
  }
  return sheet.toString()
}

function explain(verdict: 'pass' | 'warn' | 'fail', parts: readonly SealPart[]): string {
  if (verdict === 'pass' && parts.some(isNotLookedUp)) return notLookedUp
  const broken = parts.filter(({ state }) => state === 'broken')
  return verdict === 'fail' && broken.every(({ part }) => vouching.has(part)) ? unvouched : meanings[verdict]
}

/** More than these are counted, not told: the JSON form lists them all. */
const mostFaults = 20

function writePart(sheet: Sheet, { part, state, text, faults }: SealPart): void {
  const verdict = verdicts[state]
  const indent = ' '.repeat(column)
  const mark = span(verdictWords[verdict], verdictStyles[verdict])
  sheet.write([mark, span(` ${partNames[part]}: `, 'strong'), span(text)], { first: '  ', rest: indent })
  for (const fault of faults.slice(0, mostFaults))
    sheet.write(fault.text, { first: `${indent}- `, rest: `${indent}  ` })
  if (faults.length > mostFaults) sheet.write(`and ${faults.length - mostFaults} more`, { first: indent })
}

function writeCertificate(sheet: Sheet, title: string, certificate: SealCertificate, claimed: string | null): void {
  sheet.gap()
  sheet.write([span(title, 'strong')])
  writeField(sheet, 'Signed', claimed === null ? 'time not stated' : `${claimed}, says the signer`)
  writeFields(sheet, certificate)
}

function writeFields(sheet: Sheet, certificate: SealCertificate): void {
  writeField(sheet, 'Name', certificate.subject)
  writeField(sheet, 'Issued by', certificate.issuer === certificate.subject ? 'itself' : certificate.issuer)
  writeField(sheet, 'Valid', `${certificate.validFrom} to ${certificate.validUntil}`)
  writeField(sheet, 'Key', certificate.key)
  writeField(sheet, 'Fingerprint', `${groupFingerprint(certificate.fingerprint)} (SHA-256)`)
}

const writeField = (sheet: Sheet, label: string, text: string): void =>
  sheet.label(label, text, { indent: 2, column: fieldColumn })
