/** Seals that are kept beside packets: atomic as every act, shared with nobody, gone with their packet. */
import { beforeAll, expect, test } from 'vitest'
import type { Archive } from '../../src/archive/archive.ts'
import { agreeToDisposal, nameCustodian, proposeDisposal } from '../../src/archive/disposal.ts'
import { fillObjects, listSeals, logSeal } from '../../src/archive/seals.ts'
import { auditArchive, isWhole } from '../../src/archive/verify.ts'
import { verifyKept } from '../../src/kept-seals.ts'
import { createIdentity, makeSigner } from '../../src/seal/identity/identity.ts'
import type { Signer } from '../../src/seal/signer.ts'
import { nobody } from '../../src/seal/signer.ts'
import { fillBag, makeSource, policy } from '../seal/scene.ts'
import { clerk, freshRegister, makeArchive, receiveTexts } from './made-archive.ts'

const now = new Date('2026-03-15T10:00:00Z')
let [one, other]: Signer[] = []

beforeAll(async () => {
  const make = async (commonName: string) =>
    makeSigner(await createIdentity('ecdsa-p256', { commonName }, { now, days: 9 }), now)
  ;[one, other] = [await make('Noor Vance'), await make('Ilse Brandt')]
})

const present = <Value>(value: Value | undefined): Value => {
  if (value === undefined) throw new RangeError('not made')
  return value
}

/** A sealed bag in the archive, which nothing names yet. */
async function fill(archive: Archive) {
  const { sink, files } = fillObjects(archive)
  await fillBag(sink, { ...(await makeSource(present(one), null)), signed: now })
  return files
}

async function seal(archive: Archive, accession: string, after: number | null = null): Promise<number> {
  const packet = { name: 'RO 17', digest: `sha256:${'0'.repeat(64)}` }
  const files = await fill(archive)
  return logSeal(archive, clerk, { act: 'sealed', accession, signer: 'CN=Noor Vance', packet, files, after })
}

const rules = {
  retention: [{ name: 'at once', keepYears: 0, basis: 'Invented.' }],
  algorithms: (['sha-256', 'ecdsa-p256'] as const).map((name) => ({ name, basis: 'Invented.' })),
}

async function destroy(archive: Archive, accession: string): Promise<void> {
  for (const { certificate } of [present(one), present(other)]) await nameCustodian(archive, clerk, certificate)
  const why = { why: 'A test', authority: 'A test' }
  const { proposal } = await proposeDisposal(archive, { signer: present(one), ...why }, [accession], rules)
  await agreeToDisposal(archive, present(other), proposal, rules)
}

test('a seal is kept, listed and verified, and the register is made again with it', async () => {
  const { archive } = await makeArchive()
  await receiveTexts(archive, 'one', { own: 'own' })
  const index = await seal(archive, '2026-0001')
  const [kept, ...further] = await listSeals(archive, '2026-0001')
  expect(further).toEqual([])
  expect(kept).toMatchObject({ index, act: 'sealed', signer: 'CN=Noor Vance', renewedBy: null })
  expect(kept?.files.map(({ path }) => path)).toContain('seal.p7s')
  const audit = await auditArchive(archive, freshRegister)
  expect(isWhole(audit)).toBe(true)
  expect(audit.unnamed).toEqual([])
  const [answer] = await verifyKept(archive, { trust: nobody, algorithms: policy })
  expect(answer).toMatchObject({ accession: '2026-0001', index })
  expect(answer?.parts.map(({ part, state }) => `${part} ${state}`)).toEqual(
    expect.arrayContaining(['files holds', 'signature holds', 'signer doubtful']),
  )
})

test('a seal whose files are lost is broken, and so is one that cannot be opened', async () => {
  const { archive } = await makeArchive()
  await receiveTexts(archive, 'one', { own: 'own' })
  await seal(archive, '2026-0001')
  const [kept] = await listSeals(archive)
  const lose = async (path: string) => {
    const { sha256 } = present(kept?.files.find((file) => file.path.startsWith(path)))
    await archive.outside.storage.objects.remove(sha256)
    const [answer] = await verifyKept(archive, { trust: nobody, algorithms: policy })
    return answer?.parts.filter(({ state }) => state === 'broken').length
  }
  expect(await lose('data/')).toBeGreaterThan(0)
  expect(await lose('bagit.txt')).toBeGreaterThan(0)
})

test('of two who seal at once the second is told, and nothing of theirs is logged', async () => {
  const { archive } = await makeArchive()
  await receiveTexts(archive, 'one', { own: 'own' })
  const index = await seal(archive, '2026-0001')
  await expect(seal(archive, '2026-0001', null)).rejects.toMatchObject({ code: 'gone' })
  await expect(seal(archive, '2026-0001', index)).resolves.toBe(index + 1)
  await expect(seal(archive, '2026-0007')).rejects.toMatchObject({ code: 'unknown' })
  expect((await listSeals(archive)).map((one) => one.index)).toEqual([index, index + 1])
})

test('a seal goes with its packet, but for what another seal has too', async () => {
  const { archive } = await makeArchive()
  await receiveTexts(archive, 'one', { own: 'own one' })
  await receiveTexts(archive, 'two', { own: 'own two' })
  await seal(archive, '2026-0001')
  await seal(archive, '2026-0002')
  const before = await listSeals(archive)
  await destroy(archive, '2026-0001')
  expect((await listSeals(archive)).map(({ accession }) => accession)).toEqual(['2026-0002'])
  expect(await auditArchive(archive, freshRegister)).toMatchObject({ damaged: [], unnamed: [], registerFaults: [] })
  const { objects } = archive.outside.storage
  const signature = present(before[0]?.files.find(({ path }) => path === 'seal.p7s'))
  expect(await objects.size(signature.sha256)).toBe(null)
  await expect(seal(archive, '2026-0001')).rejects.toMatchObject({ code: 'gone' })
})

test('what a seal is made of may be destroyed before it is logged: it is then not logged', async () => {
  const { archive } = await makeArchive()
  await receiveTexts(archive, 'one', { own: 'own one' })
  await receiveTexts(archive, 'two', { own: 'own two' })
  await seal(archive, '2026-0001')
  const files = await fill(archive)
  await destroy(archive, '2026-0001')
  const packet = { name: 'RO 17', digest: 'sha256:0' }
  const late = logSeal(archive, clerk, { act: 'sealed', accession: '2026-0002', packet, files, after: null })
  await expect(late).rejects.toMatchObject({ code: 'gone' })
  expect(await listSeals(archive)).toEqual([])
})
