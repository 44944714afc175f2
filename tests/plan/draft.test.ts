/** A drafted packet.yaml says what was read without declaring it, and parses as it stands. */
import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { parse } from 'yaml'
import { checks } from '../../src/checks/index.ts'
import type { Vocabulary } from '../../src/facts/vocabulary.ts'
import { judge } from '../../src/findings/judge.ts'
import { buildPacket } from '../../src/packet/build.ts'
import { parseDeclaration } from '../../src/packet/declaration.ts'
import type { Declaration, Packet } from '../../src/packet/packet.ts'
import { draftDeclaration } from '../../src/plan/draft.ts'
import { renderPacketFile } from '../../src/report/packet-file-text.ts'
import { general } from '../checks/general.ts'
import { makeDate, makeDocument, makePacket } from '../checks/packet-builder.ts'
import { packetsOf } from '../packets/truth.ts'
import { exampleFolder, exampleNames, readJobs } from './jobs.ts'

const sets = ['a', 'b', 'c', 'd'] as const
const folders = [...exampleNames.map(exampleFolder), ...sets.flatMap((set) => packetsOf(set).map(({ files }) => files))]
let vocabulary: Vocabulary
let packets: Packet[]
beforeAll(async () => {
  ;({ packets, vocabulary } = await readJobs(folders))
}, 300_000)

const draftOf = (packet: Packet): string => renderPacketFile(draftDeclaration(packet, vocabulary), packet.name)

/** Every suggestion taken up: the `#` before it goes, that of a sentence (behind which one space stands) stays. */
const takeUp = (draft: string): string => draft.replaceAll(/^#(?! \S|$)/gm, '')

/** Faults beside those of values that a person is to fill in. */
function faultsOf(text: string): string[] {
  return parseDeclaration(text)
    .faults.map(({ path, message }) => `${path} ${message}`)
    .filter((fault) => !/^(files\..+\.kind|notNeeded\.\d+\.because) (is empty|"null" is not known|must be)/.test(fault))
}

function withDeclaration(packet: Packet, declaration: Declaration | null): Packet {
  const { name, digest, reviewed, documents, content } = packet
  return buildPacket({ name, digest, reviewed, documents, content, declaration })
}

const withoutPlaces = (declaration: Declaration | null) => {
  const { places: _, ...declared } = declaration ?? { places: {} }
  return declared
}

describe.each(folders.map((folder, index) => [folder.split('/').slice(-3).join('/'), index] as const))(
  'the draft of %s',
  (_, index) => {
    const packet = (): Packet => packets[index] as Packet

    test('declares what packet.yaml declares and nothing else, with all suggestions taken up or none', () => {
      const draft = draftOf(packet())
      const { declaration, faults } = parseDeclaration(draft)
      expect(faults).toEqual([])
      expect(withoutPlaces(declaration)).toEqual(withoutPlaces(packet().declaration))
      expect(faultsOf(takeUp(draft))).toEqual([])
    })

    test('declares nothing where there is no packet.yaml, and changes no verdict', () => {
      const bare = withDeclaration(packet(), null)
      const draft = draftOf(bare)
      const { declaration, faults } = parseDeclaration(draft)
      expect(faults).toEqual([])
      expect(withoutPlaces(declaration)).toEqual({})
      expect(faultsOf(takeUp(draft))).toEqual([])
      const { findings } = judge(bare, checks, general)
      expect(judge(withDeclaration(bare, declaration), checks, general).findings).toEqual(findings)
    })
  },
)

describe('a draft', () => {
  const taken = (packet: Packet): Record<string, unknown> => parse(takeUp(draftOf(packet)))

  test('suggests what the files agree on', () => {
    const documents = [
      makeDocument('estimate', 'e.pdf', { jobNumber: 'RO 17', plate: 'ABC 12', vehicle: { year: 2024 } }),
      makeDocument('pre-scan', 's.pdf', {
        jobNumber: '17',
        technician: 'Ada Wren',
        date: makeDate('2026-05-04T09:10'),
      }),
    ]
    const suggested = taken(makePacket(documents))
    expect(suggested).toMatchObject({
      vehicle: { plate: 'ABC 12', year: 2024 },
      intake: '2026-05-04T09:10',
      people: [{ name: 'Ada Wren', role: 'technician' }],
    })
    // "RO 17" and "17" are one number.
    expect(String(suggested.job)).toMatch(/17$/)
  })

  test('asks which where they do not, and suggests neither', () => {
    const documents = [
      makeDocument('estimate', 'e.pdf', { vin: '1ZZTE5T11NB000421' }),
      makeDocument('pre-scan', 's.pdf', { vin: '1ZZTE5T11NBOOO421'.replaceAll('O', '9') }),
    ]
    const draft = draftOf(makePacket(documents))
    expect(draft.replaceAll('\n# ', ' ')).toContain(
      'Question: Which VIN does the vehicle itself show? The files state 1ZZTE5T11NB000421 (in e.pdf) or 1ZZTE5T11NB999421 (in s.pdf).',
    )
    expect(parse(takeUp(draft))).not.toHaveProperty('vehicle.vin')
  })

  test('asks for the role of a scan that says none, and leaves it to be filled in', () => {
    const draft = draftOf(makePacket([makeDocument('scan', 'my: scan #2.pdf')]))
    expect(draft).toContain('# Question: Is my: scan #2.pdf the pre-scan or the post-scan?\n')
    expect(parse(takeUp(draft))).toMatchObject({ files: { 'my: scan #2.pdf': { kind: null } } })
    // Left empty it is a fault of that line, not a silent answer.
    expect(parseDeclaration(takeUp(draft)).faults).not.toEqual([])
  })

  test('asks whether a calibration that a repair usually calls for is needed', () => {
    const operations = [
      { text: 'Front bumper: replace', kind: 'repair' as const, calls: ['ultrasonic' as const], billed: true },
    ]
    const draft = draftOf(makePacket([makeDocument('invoice', 'i.pdf', { operations })]))
    expect(draft.replaceAll('\n# ', ' ')).toContain(
      'Question: “Front bumper: replace” in i.pdf usually calls for a calibration of the ultrasonic sensors.',
    )
    expect(parse(takeUp(draft))).toMatchObject({
      repairs: [{ what: 'Front bumper: replace' }],
      notNeeded: [{ sensor: 'ultrasonic', because: null }],
    })
  })

  test('keeps what is declared, however it is written', () => {
    const declared = {
      job: '00731',
      zone: 'America/Denver',
      files: { 'a: b #1.pdf': { kind: 'photo' as const } },
      repairs: [{ what: 'yes', ended: '2026-05-04' }],
      shop: { name: '- "x"\n\u202ey', location: [41.5, -97] as const },
    }
    const draft = draftOf(makePacket([], { declaration: declared }))
    expect(draft).not.toContain('\u202e')
    const { declaration, faults } = parseDeclaration(draft)
    expect(faults).toEqual([])
    expect(withoutPlaces(declaration)).toEqual(declared)
  })
})

describe('text of files', () => {
  const word = fc.oneof(
    fc.string({ unit: 'binary', minLength: 1, maxLength: 40 }),
    fc.constantFrom(
      'a\nb: c',
      '# no',
      '---',
      '"',
      "'",
      '\u001b[2J',
      '\u202etxt',
      '\u{e0001}',
      '&a *a',
      '- x',
      '{a: b}',
      '!!js x',
    ),
  )

  test('never becomes YAML, nor steers a terminal', { timeout: 60_000 }, () => {
    fc.assert(
      fc.property(word, word, word, (file, text, name) => {
        const operations = [{ text, kind: 'repair' as const, calls: ['front-camera' as const], billed: true }]
        const documents = [
          makeDocument('invoice', file, { operations, jobNumber: text, claimNumber: `${name}1`, plate: name }),
          makeDocument('scan', `${file}2`, { technician: name, vehicle: { make: text, model: name } }),
        ]
        const draft = draftOf(makePacket(documents))
        expect(draft.replaceAll('\n', '')).not.toMatch(/[\p{Cc}\u202a-\u202e\u2066-\u2069\u{e0000}-\u{e007f}]/u)
        const { declaration, faults } = parseDeclaration(draft)
        expect(faults).toEqual([])
        expect(withoutPlaces(declaration)).toEqual({})
        const up = parse(takeUp(draft)) as { files?: object; people?: { name: string }[]; repairs?: { what: string }[] }
        for (const person of up.people ?? []) expect(person.name).toBe(name.trim())
        for (const repair of up.repairs ?? []) expect(repair.what).toBe(text.trim())
        if (file !== '__proto__') expect(Object.keys(up.files ?? {})).toContain(`${file}2`)
      }),
      { numRuns: 300 },
    )
  })
})
