/** Records of one instrument, by what made their files: programs and fonts. One instrument writes one kind of record in one way. */
import type { DocumentFacts } from '../../facts/document.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Contrast, Outcome } from '../check.ts'
import { distinctPlaces, findPlaces } from '../places.ts'
import { filesLine } from '../shared-lines.ts'
import { isSameProgram } from './file-programs.ts'

export const pdfOneProducer: Check = {
  id: 'pdf-one-producer',
  group: 'documents',
  claim: 'Records of one kind that come from one instrument were made by the same programs, in the same fonts.',
  messages: {
    same: { state: 'met', text: '{files} come from {instrument} and were made alike ({program}).' },
    'other-program': {
      state: 'unmet',
      text: '{files} both say that they come from {instrument}, and were made by different programs: {one} and {other}.',
    },
    'other-fonts': {
      state: 'unmet',
      text: '{files} both say that they come from {instrument}, and have no font in common: {one} and {other}.',
    },
    'nothing-to-compare': {
      state: 'undecided',
      text: 'No two PDF records of one kind come from one instrument and say what made them.',
    },
  },
  parameters: {},
  remedy: "The records as the instrument saved them, or its maker's word on why it writes them in two ways.",
  suppliers: ['calibrator', 'instrument-maker'],
  settledWith: 'papers',
  exposes: { calibrator: 'a record that another hand may have made', insurer: 'relying on a record of unknown make' },
  collect: [filesLine],
  run(packet) {
    const outcomes = listPairs(packet).flatMap(([one, other]) => compare(one, other))
    return outcomes.length > 0
      ? outcomes
      : [{ state: 'undecided', message: 'nothing-to-compare', data: {}, evidence: [] }]
  },
}

interface Make {
  document: DocumentFacts
  kind: string
  creator: string
  producer: string
  families: ReadonlySet<string>
}

function makeOf(document: DocumentFacts, packet: Packet): Make[] {
  const kind = kindOf(document)
  if (document.media !== 'application/pdf' || kind === null) return []
  const { information, fonts = [] } = packet.content[document.file] ?? {}
  const { creator = '', producer = '' } = information ?? {}
  return [{ document, kind, creator, producer, families: new Set(fonts.map(familyOf).filter((name) => name !== '')) }]
}

/**
 * Records that one part of an instrument writes. Scans before and after the work are of one kind; calibrations are of
 * one where they are by the same methods, as static and dynamic ones may come from different modules.
 */
function kindOf({ kind, calibrations = [] }: DocumentFacts): string | null {
  if (kind === 'pre-scan' || kind === 'post-scan' || kind === 'scan') return 'scan'
  if (kind === 'alignment') return kind
  if (kind !== 'calibration') return null
  const methods = [...new Set(calibrations.map(({ method }) => method))].sort()
  return methods.length === 0 || methods.includes('unknown') ? null : `${kind} ${methods.join(' ')}`
}

/** "ABCDEF+Corvane Sans-Bold" → "corvane sans". A subset's tag is six capitals (ISO 32000-1, 9.6.4). */
const familyOf = (font: string): string =>
  font
    .replace(/^[A-Z]{6}\+/, '')
    .replace(/[-,].*$/, '')
    .replace(/(?:PS)?(?:MT)?$/, '')
    .toLowerCase()

function listPairs(packet: Packet): [Make, Make][] {
  const makes = packet.documents.flatMap((document) => makeOf(document, packet))
  return makes.flatMap((one, index) =>
    makes
      .slice(index + 1)
      .flatMap((other): [Make, Make][] =>
        one.kind === other.kind && isSameInstrument(one.document, other.document) ? [[one, other]] : [],
      ),
  )
}

const bare = (text: string): string => text.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, '')

/** The same serial number; without one in either, the same name. */
function isSameInstrument({ instrument: one }: DocumentFacts, { instrument: other }: DocumentFacts): boolean {
  if (one?.serial !== undefined && other?.serial !== undefined) return bare(one.serial) === bare(other.serial)
  if (one?.serial !== undefined || other?.serial !== undefined) return false
  return one?.name !== undefined && other?.name !== undefined && bare(one.name) === bare(other.name)
}

function compare(one: Make, other: Make): Outcome[] {
  for (const key of ['creator', 'producer'] as const)
    if (!isSameProgram(one[key], other[key])) return [tell('other-program', one, other, one[key], other[key])]
  const [a, b] = [one.families, other.families]
  if (a.size > 0 && b.size > 0 && a.isDisjointFrom(b))
    return [tell('other-fonts', one, other, [...a].join(', '), [...b].join(', '))]
  const program = one.producer || one.creator
  if (program === '' || (other.producer || other.creator) === '') return []
  return [{ ...tell('same', one, other, program, program), state: 'met' }]
}

function tell(message: string, one: Make, other: Make, said: string, otherwise: string): Outcome {
  const documents = [one.document, other.document]
  const { serial, name } = one.document.instrument ?? {}
  const path = serial === undefined ? 'instrument.name' : 'instrument.serial'
  const contrast: Contrast = {
    what: message === 'other-fonts' ? 'fonts' : 'made by',
    one: { label: one.document.file, file: one.document.file, text: said },
    other: { label: other.document.file, file: other.document.file, text: otherwise },
  }
  return {
    state: 'unmet',
    message,
    data: {
      files: documents.map(({ file }) => file),
      instrument: [name, serial].filter((part) => part !== undefined).join(', '),
      ...{ one: said, other: otherwise, program: said },
    },
    evidence: distinctPlaces(documents.flatMap((document) => findPlaces(document, path))),
    ...(message === 'same' ? {} : { contrasts: [contrast] }),
  }
}
