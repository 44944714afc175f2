/** What an archive tells of a packet: of files, reports, drives and people that stand in its other packets. */
import { createHash } from 'node:crypto'
import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { closeArchive } from '../../../src/archive/archive.ts'
import { askArchive } from '../../../src/archive/seen/ask.ts'
import { formatPrints, parsePrints, printsOf } from '../../../src/archive/seen/prints.ts'
import { auditArchive, isWhole } from '../../../src/archive/verify.ts'
import { makeChance } from '../../bench/defects/chance.ts'
import { driveLegs, planLoop } from '../../bench/defects/drive.ts'
import { makeDocument, makeEvent } from '../../checks/packet-builder.ts'
import { freshRegister, makeArchive, outsideOf, receiveTexts, reopen } from '../made-archive.ts'
import { check, keep } from './kept-packets.ts'
import { contentOf, makeReport, packetOf, vins } from './made-packets.ts'

const [own, theirs, third] = vins

describe('a report', () => {
  test('with the values of another is found, and told with what agrees', async () => {
    const { archive } = await makeArchive()
    const accession = await keep(archive, packetOf('theirs', theirs, [makeReport('cal.pdf', theirs, 5)]))
    const copy = packetOf('own', own, [makeReport('radar.pdf', own, 5, '2026-04-02')])
    const { seen, packets } = await askArchive(archive).lookUp(copy)
    expect(packets).toBe(1)
    expect(seen).toMatchObject([
      { what: 'text', file: 'radar.pdf', otherFile: 'cal.pdf', otherVin: theirs, measure: 1, marks: { differing: 0 } },
    ])
    expect(seen[0]?.other).toEqual({ accession, vin: theirs, job: null, shop: null })
    expect(seen[0]?.marks?.agreeing).toBeGreaterThan(30)
  })

  test('of which one word in ten was changed is found', async () => {
    const { archive } = await makeArchive()
    for (let seed = 1; seed <= 12; seed++)
      await keep(archive, packetOf(`theirs ${seed}`, theirs, [makeReport('cal.pdf', theirs, seed)]))
    let found = 0
    for (let seed = 1; seed <= 12; seed++) {
      const chance = makeChance(seed + 40)
      const { document, lines } = makeReport('radar.pdf', own, seed)
      const edited = lines.map((line) =>
        line
          .split(' ')
          .map((word) => (chance.likely(0.1) ? 'other' : word))
          .join(' '),
      )
      const { seen } = await askArchive(archive).lookUp(packetOf('own', own, [{ document, lines: edited }]))
      if (seen.some(({ what, other }) => what === 'text' && other.vin === theirs)) found++
    }
    expect(found).toBeGreaterThanOrEqual(11)
  })

  test('of one instrument with values of its own is not told as like another', async () => {
    const { archive } = await makeArchive()
    for (let seed = 1; seed <= 20; seed++)
      await keep(archive, packetOf(`theirs ${seed}`, theirs, [makeReport('cal.pdf', theirs, seed)]))
    for (let seed = 101; seed <= 120; seed++) {
      const { seen } = await askArchive(archive).lookUp(packetOf('own', own, [makeReport('radar.pdf', own, seed)]))
      // Shared words may make it a candidate; what hardly comes out twice then says that it is none.
      expect(seen.filter(({ marks }) => (marks?.agreeing ?? 0) >= 20)).toEqual([])
    }
  })
})

describe('a file', () => {
  const sha256 = createHash('sha256').update('scan of theirs').digest('hex')
  const file = makeDocument('scan', 'pre.txt', { sha256, bytes: 14, vin: own })

  test('that stands in another packet is found there, and not in the packet itself', async () => {
    const { archive } = await makeArchive()
    const other = packetOf('theirs', theirs, [makeReport('cal.pdf', theirs, 1)])
    const accession = await keep(archive, other, { 'scan 1.txt': 'scan of theirs' })
    const mine = packetOf('own', own, [{ document: file, lines: [] }])
    await keep(archive, mine, { 'pre.txt': 'scan of theirs' })
    const { seen, packets } = await askArchive(archive).lookUp(mine)
    expect(packets).toBe(1)
    expect(seen).toMatchObject([{ what: 'file', file: 'pre.txt', otherFile: 'scan 1.txt', other: { accession } }])
  })

  test('is found in a packet without prints too, and its report tells the vehicle', async () => {
    const { archive } = await makeArchive()
    const { accession } = await receiveTexts(archive, 'theirs', { 'scan 1.txt': 'scan of theirs' })
    const ask = () => askArchive(archive).lookUp(packetOf('own', own, [{ document: file, lines: [] }]))
    expect((await ask()).seen).toMatchObject([{ what: 'file', other: { accession, vin: null } }])
    await check(archive, accession, packetOf('theirs', theirs, []), { prints: false })
    expect((await ask()).seen).toMatchObject([{ what: 'file', other: { accession, vin: theirs } }])
  })
})

test('a drive under another date is found', async () => {
  const { archive } = await makeArchive()
  const trackOf = (seed: number, start: number) => {
    const chance = makeChance(seed)
    const legs = planLoop(chance, 900, 18, 2)
    const { samples } = driveLegs(chance, { latitude: 41, longitude: -96, legs, turn: 88, heading: 10, interval: 1 })
    const points = samples.map(({ time, latitude, longitude, speed }) => ({
      time: start + time,
      latitude,
      longitude,
      speed,
    }))
    return { clock: 'utc' as const, offset: null, startedLocal: null, points, rejected: 0, header: {} }
  }
  const packetWith = (name: string, vin: string, seed: number, start: number) => {
    const document = makeDocument('drive-log', 'drive.gpx', {
      sha256: `${seed}${start}`.padEnd(64, '0'),
      vin: undefined,
    })
    return packetOf(name, vin, [{ document, lines: [] }], {
      content: { 'drive.gpx': contentOf([], trackOf(seed, start)) },
    })
  }
  for (let seed = 1; seed <= 8; seed++) await keep(archive, packetWith(`theirs ${seed}`, theirs, seed, 1_780_000_000))
  const { seen } = await askArchive(archive).lookUp(packetWith('own', own, 3, 1_781_234_567))
  expect(seen).toMatchObject([
    { what: 'track', otherFile: 'drive.gpx', other: { accession: '2026-0003', vin: theirs } },
  ])
  expect(seen[0]?.drive?.metresPerSecond).toBeLessThan(0.2)
  const honest = await askArchive(archive).lookUp(packetWith('own', own, 77, 1_781_234_567))
  expect(honest.seen).toEqual([])
})

test('who is at work elsewhere at the same time is told, and from when to when', async () => {
  const { archive } = await makeArchive()
  const packetAt = (name: string, vin: string, from: string, to: string, serial = 'A-01977') => {
    const document = makeDocument('calibration', 'cal.pdf', { vin, technician: 'Marlo Tresk', instrument: { serial } })
    const event = makeEvent('calibration-1', from, to, { file: 'cal.pdf', label: 'front radar, static' })
    return packetOf(name, vin, [{ document, lines: [] }], { events: [event] })
  }
  await keep(archive, packetAt('theirs', theirs, '2026-03-14T15:00:00Z', '2026-03-14T15:40:00Z'))
  await keep(archive, packetAt('third', third, '2026-03-14T18:00:00Z', '2026-03-14T18:40:00Z'))
  const mine = packetAt('own', own, '2026-03-14T15:20:00Z', '2026-03-14T16:00:00Z')
  const { elsewhere, engagements } = await askArchive(archive).lookUp(mine)
  expect(engagements).toBe(2)
  const common = { other: { accession: '2026-0001' }, from: '2026-03-14T15:20:00Z', to: '2026-03-14T15:40:00Z' }
  expect(elsewhere).toMatchObject([
    { who: 'technician', name: 'Marlo Tresk', isOnePerson: true, ...common },
    { who: 'instrument', name: 'A-01977', isOnePerson: true, ...common },
  ])
  // Another instrument, and no shop that both name: another person may have that name.
  const stranger = packetAt('own', own, '2026-03-14T15:20:00Z', '2026-03-14T16:00:00Z', 'B-44120')
  expect((await askArchive(archive).lookUp(stranger)).elsewhere).toMatchObject([{ isOnePerson: false }])
})

describe('the index', () => {
  test('is made anew from log and objects, and verified against them', async () => {
    const { folder, archive } = await makeArchive()
    for (let seed = 1; seed <= 5; seed++)
      await keep(archive, packetOf(`packet ${seed}`, theirs, [makeReport('cal.pdf', theirs, seed)]))
    const before = await archive.db.selectFrom('bands').selectAll().orderBy('key').orderBy('packet').execute()
    expect(before.length).toBeGreaterThanOrEqual(100)
    expect(isWhole(await auditArchive(archive, freshRegister))).toBe(true)
    await closeArchive(archive)
    for (const end of ['', '-wal', '-shm']) await rm(join(folder, `register.sqlite${end}`), { force: true })
    const again = await reopen(outsideOf(folder))
    expect(await again.db.selectFrom('bands').selectAll().orderBy('key').orderBy('packet').execute()).toEqual(before)
    await again.db
      .deleteFrom('bands')
      .where('packet', '=', before[0]?.packet ?? -1)
      .execute()
    expect((await auditArchive(again, freshRegister)).registerFaults).toEqual(['bands'])
  })

  test('follows the last check of a packet', async () => {
    const { archive } = await makeArchive()
    const accession = await keep(archive, packetOf('theirs', theirs, [makeReport('cal.pdf', theirs, 1)]))
    await check(archive, accession, packetOf('theirs', theirs, [makeReport('cal.pdf', theirs, 2)]))
    const ask = (seed: number) => askArchive(archive).lookUp(packetOf('own', own, [makeReport('a.pdf', own, seed)]))
    expect((await ask(1)).seen.filter(({ marks }) => (marks?.agreeing ?? 0) >= 20)).toEqual([])
    expect((await ask(2)).seen).toMatchObject([{ what: 'text' }])
    expect(isWhole(await auditArchive(archive, freshRegister))).toBe(true)
  })

  test('prints are kept in one form, and hold no words', () => {
    const prints = printsOf(packetOf('own', own, [makeReport('cal.pdf', own, 9)]))
    const bytes = formatPrints(prints)
    expect(parsePrints(bytes)).toEqual(prints)
    expect(Buffer.from(formatPrints(parsePrints(bytes) ?? prints))).toEqual(Buffer.from(bytes))
    expect(Buffer.from(bytes).toString()).not.toMatch(/completed|limits|Dacet/)
    expect(parsePrints(Buffer.from('{"prints":2,"files":[],"engagements":[]}'))).toBeNull()
    expect(parsePrints(Buffer.from('no'))).toBeNull()
  })
})
