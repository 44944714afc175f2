/** Holds, schedules and disposals. */
import { describe, expect, test } from 'vitest'
import { type Archive, history } from '../../src/archive/archive.ts'
import { agreeToDisposal, nameCustodian, proposeDisposal } from '../../src/archive/disposal.ts'
import { listHolds, placeHold, releaseHold } from '../../src/archive/holds.ts'
import { askArchive } from '../../src/archive/seen/ask.ts'
import { auditArchive, isWhole } from '../../src/archive/verify.ts'
import { findRetention } from '../../src/facts/retention.ts'
import { createIdentity, makeSigner } from '../../src/seal/identity/identity.ts'
import { clerk, counsel, freshRegister, makeArchive, receiveTexts } from './made-archive.ts'
import { keep } from './seen/kept-packets.ts'
import { makeReport, packetOf, vins } from './seen/made-packets.ts'

const basis = 'Invented.'
const retention = [
  { name: 'ordinary', keepYears: 7, basis },
  { name: 'contested', verdicts: ['fail'] as const, keepYears: 10, basis },
]
const algorithms = (['sha-256', 'ecdsa-p256'] as const).map((name) => ({ name, basis }))
const rules = { retention, algorithms }

const received = new Date('2026-03-15T10:00:00Z')
const later = new Date('2033-03-15T10:00:00Z')

const makeCustodian = async (commonName: string) => {
  const identity = await createIdentity('ecdsa-p256', { commonName }, { now: received, days: 3650 })
  return { certificate: identity.certificate, signer: makeSigner(identity, received) }
}
const [one, other] = [await makeCustodian('Noor Vance'), await makeCustodian('Ilse Brandt')]
const reasons = { why: 'The schedule has run out', authority: 'Records policy 4' }

async function makeCustody() {
  const clock = { now: received }
  const made = await makeArchive(clock)
  for (const { certificate } of [one, other]) await nameCustodian(made.archive, clerk, certificate)
  return { ...made, clock }
}

const named = async (archive: Archive) => {
  const acts: string[] = []
  for await (const { entry } of history(archive)) acts.push(entry.act)
  return acts
}

describe('a schedule', () => {
  test('counts whole years from receipt, by the longest rule that fits', () => {
    expect(findRetention(retention, '2026-03-15', 'pass')).toMatchObject({
      due: '2033-03-15',
      rule: { name: 'ordinary' },
    })
    expect(findRetention(retention, '2026-03-15', null)?.due).toBe('2033-03-15')
    expect(findRetention(retention, '2026-03-15', 'fail')).toMatchObject({
      due: '2036-03-15',
      rule: { name: 'contested' },
    })
    expect(findRetention(retention.slice(1), '2026-03-15', 'pass')).toBeNull()
    // Of 29 February, the first day on which seven years are full.
    expect(findRetention(retention, '2024-02-29', null)?.due).toBe('2031-03-01')
  })
})

describe('a hold', () => {
  test('is for every packet that fits, those too that come later', async () => {
    const { archive } = await makeCustody()
    await receiveTexts(archive, 'one', { a: '1' }, { job: 'RO 10482', shop: 'Bay North' })
    await receiveTexts(archive, 'two', { a: '2' }, { job: 'RO-10483', shop: 'Bay North' })
    const hold = await placeHold(archive, counsel, 'Ortega against Bay North', { job: 'ro-10482' })
    expect(hold).toEqual({ hold: 'H-0001', accessions: ['2026-0001'] })
    await receiveTexts(archive, 'three', { a: '3' }, { job: 'RO10482' })
    const held = await archive.db.selectFrom('hold_packets').select('accession').orderBy('accession').execute()
    expect(held.map(({ accession }) => accession)).toEqual(['2026-0001', '2026-0003'])
  })

  test.each([
    ['a shop', { shop: 'BAY  NORTH' }, ['2026-0001']],
    ['a claim', { claim: 'C 7' }, ['2026-0002']],
    ['days of receipt', { receivedFrom: '2026-03-16' }, ['2026-0002']],
    ['other days', { receivedTo: '2026-03-15' }, ['2026-0001']],
    ['words', { words: 'north' }, ['2026-0001']],
    ['numbers', { accessions: ['2026-0002', '2026-0001'] }, ['2026-0001', '2026-0002']],
    ['all of several keys', { shop: 'Bay North', claim: 'C-7' }, []],
  ])('finds packets by %s', async (_, scope, accessions) => {
    const { archive, clock } = await makeCustody()
    await receiveTexts(archive, 'one', { a: '1' }, { shop: 'Bay North' })
    clock.now = new Date('2026-03-16T00:00:00Z')
    await receiveTexts(archive, 'two', { a: '2' }, { claim: 'C-7', shop: 'Bay South' })
    expect((await placeHold(archive, counsel, 'A matter', scope)).accessions).toEqual(accessions)
  })

  test('is lifted once, and another stays', async () => {
    const { archive } = await makeCustody()
    await receiveTexts(archive, 'one', { a: '1' })
    for (const matter of ['first', 'second']) await placeHold(archive, counsel, matter, { accessions: ['2026-0001'] })
    await releaseHold(archive, counsel, 'H-0001')
    expect(await listHolds(archive, '2026-0001')).toMatchObject([
      { hold: 'H-0002', matter: 'second', placedBy: 'Ada Quill', authority: 'General counsel', packets: 1 },
    ])
    await expect(releaseHold(archive, counsel, 'H-0001')).rejects.toThrow('There is no longer a hold H-0001')
    await expect(releaseHold(archive, counsel, 'H-0009')).rejects.toThrow('There is no hold H-0009')
    await expect(placeHold(archive, counsel, 'x', { accessions: ['2026-0009'] })).rejects.toThrow(
      'has no packet 2026-0009',
    )
  })
})

describe('a disposal', () => {
  test('needs two custodians, leaves a tombstone, and keeps what another packet has', async () => {
    const { archive, clock, outside } = await makeCustody()
    await receiveTexts(archive, 'one', { a: 'alone', b: 'shared' })
    await receiveTexts(archive, 'two', { c: 'shared' })
    const files = await archive.db.selectFrom('contents').select(['path', 'sha256']).execute()
    const named1 = Object.fromEntries(files.map(({ path, sha256 }) => [path, sha256]))
    clock.now = later
    const { proposal } = await proposeDisposal(archive, { signer: one.signer, ...reasons }, ['2026-0001'], rules)
    expect(await agreeToDisposal(archive, other.signer, proposal, rules)).toEqual({
      accessions: ['2026-0001'],
      // Its own content, and its list.
      destroyed: 2,
    })
    expect(await outside.storage.objects.size(named1.a ?? '')).toBeNull()
    expect(await outside.storage.objects.size(named1.b ?? '')).toBe(6)
    expect((await named(archive)).slice(-2)).toEqual(['disposal-proposed', 'disposed'])
    expect(isWhole(await auditArchive(archive, freshRegister))).toBe(true)
    const [left] = await archive.db
      .selectFrom('packets')
      .select('disposed_idx')
      .where('accession', '=', '2026-0001')
      .execute()
    expect(left?.disposed_idx).toBe(proposal + 1)
    // Another packet that is the same may come again.
    expect(await receiveTexts(archive, 'one', { a: 'alone', b: 'shared' })).toMatchObject({ accession: '2033-0001' })
  })

  test('destroys the prints too, and what copies of it would be known by', async () => {
    const { archive, clock, outside } = await makeCustody()
    const packet = packetOf('one', vins[0], [makeReport('cal.pdf', vins[0], 1)])
    await keep(archive, packet)
    await keep(archive, packetOf('two', vins[1], [makeReport('cal.pdf', vins[1], 2)]))
    const kept = await archive.db.selectFrom('printed').select(['accession', 'prints']).execute()
    clock.now = later
    const { proposal } = await proposeDisposal(archive, { signer: one.signer, ...reasons }, ['2026-0001'], rules)
    await agreeToDisposal(archive, other.signer, proposal, rules)
    const sizes = await Promise.all(kept.map(({ prints }) => outside.storage.objects.size(prints)))
    expect(sizes.map((size) => size === null)).toEqual(kept.map(({ accession }) => accession === '2026-0001'))
    const copy = packetOf('own', vins[2], [makeReport('cal.pdf', vins[2], 1)])
    const { seen, packets } = await askArchive(archive).lookUp(copy)
    expect(packets).toBe(1)
    expect(seen.filter(({ other: { accession } }) => accession === '2026-0001')).toEqual([])
    expect(isWhole(await auditArchive(archive, freshRegister))).toBe(true)
  })

  test('is refused for one that is held, not due, unknown or gone', async () => {
    const { archive, clock } = await makeCustody()
    await receiveTexts(archive, 'one', { a: '1' })
    const propose = (accession: string) =>
      proposeDisposal(archive, { signer: one.signer, ...reasons }, [accession], rules)
    await expect(propose('2026-0001')).rejects.toMatchObject({
      code: 'not-due',
      message: '2026-0001 is kept until 2033-03-15, by the rule "ordinary"',
    })
    clock.now = later
    await placeHold(archive, counsel, 'A matter', { accessions: ['2026-0001'] })
    await expect(propose('2026-0001')).rejects.toMatchObject({
      code: 'held',
      message: '2026-0001 is held: H-0001, A matter',
    })
    await expect(propose('2026-0007')).rejects.toMatchObject({ code: 'unknown' })
    await releaseHold(archive, counsel, 'H-0001')
    const { proposal } = await propose('2026-0001')
    await agreeToDisposal(archive, other.signer, proposal, rules)
    await expect(propose('2026-0001')).rejects.toThrow('was destroyed already')
    await expect(agreeToDisposal(archive, other.signer, proposal, rules)).rejects.toThrow('was destroyed already')
  })

  test('is refused where a hold was placed after it was proposed', async () => {
    const { archive, clock } = await makeCustody()
    await receiveTexts(archive, 'one', { a: '1' })
    clock.now = later
    const { proposal } = await proposeDisposal(archive, { signer: one.signer, ...reasons }, ['2026-0001'], rules)
    await placeHold(archive, counsel, 'A matter', { words: 'one' })
    await expect(agreeToDisposal(archive, other.signer, proposal, rules)).rejects.toMatchObject({ code: 'held' })
    expect((await auditArchive(archive, freshRegister)).damaged).toEqual([])
  })

  test('is refused to one person alone, to strangers, and for what is no proposal', async () => {
    const { archive, clock } = await makeCustody()
    await receiveTexts(archive, 'one', { a: '1' })
    clock.now = later
    const stranger = await makeCustodian('Kit Rowe')
    const twin = await makeCustodian('Noor Vance')
    await nameCustodian(archive, clerk, twin.certificate)
    const proposed = { signer: one.signer, ...reasons }
    await expect(
      proposeDisposal(archive, { ...proposed, signer: stranger.signer }, ['2026-0001'], rules),
    ).rejects.toThrow('is no custodian of this archive')
    const { proposal } = await proposeDisposal(archive, proposed, ['2026-0001'], rules)
    for (const { signer } of [one, twin])
      await expect(agreeToDisposal(archive, signer, proposal, rules)).rejects.toMatchObject({ code: 'same-person' })
    await expect(agreeToDisposal(archive, stranger.signer, proposal, rules)).rejects.toMatchObject({
      code: 'not-approved',
    })
    await expect(agreeToDisposal(archive, other.signer, 0, rules)).rejects.toThrow(
      'Entry 0 of the log proposes no disposal',
    )
  })
})
