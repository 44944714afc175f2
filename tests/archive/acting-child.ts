/**
 * Does one act after another with the archive in the folder that is named first, until it is killed: receives, seals, holds,
 * releases, proposes and agrees to disposals, reads again, backs up. Says `ready`, then a line for each act that is done.
 */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { openArchive } from '../../src/archive/archive.ts'
import { backUp } from '../../src/archive/backup.ts'
import { agreeToDisposal, proposeDisposal } from '../../src/archive/disposal.ts'
import { checkFixity } from '../../src/archive/fixity.ts'
import { placeHold, releaseHold } from '../../src/archive/holds.ts'
import { fillObjects, logSeal } from '../../src/archive/seals.ts'
import { archiveFolder } from '../../src/io/archive/folder.ts'
import { makeSigner, openIdentity } from '../../src/seal/identity/identity.ts'
import { clerk, counsel, outsideOf, receiveTexts } from './archive-place.ts'

const [, , folder = '', identities = '', seed = '0'] = process.argv

/** Made anew for each life, so that kills meet every act (Park and Miller's generator). */
let state = (Number(seed) * 48271 + 11) % 2147483647
const chance = (below: number): number => {
  state = (state * 48271) % 2147483647
  return state % below
}

const now = new Date('2026-03-15T10:00:00Z')
const openSigner = async (name: string) =>
  makeSigner(await openIdentity([new Uint8Array(readFileSync(join(identities, name)))], null, now), now)
const [one, other] = [await openSigner('one.pem'), await openSigner('other.pem')]
const basis = 'Invented.'
const rules = {
  retention: [{ name: 'at once', keepYears: 0, basis }],
  algorithms: (['sha-256', 'ecdsa-p256'] as const).map((name) => ({ name, basis })),
}
const reasons = { why: 'A test', authority: 'A test' }

const archive = await openArchive(outsideOf(folder))
const say = (what: string) => process.stdout.write(`${what}\n`)
say('ready')

let number = 0
async function receive(): Promise<string> {
  const name = `${seed}-${number++}`
  const { accession } = await receiveTexts(archive, name, { own: `own ${name}`, shared: `shared ${chance(5)}` })
  say(`received ${accession}`)
  return accession
}

async function disposeOf(accession: string): Promise<void> {
  const { proposal } = await proposeDisposal(archive, { signer: one, ...reasons }, [accession], rules)
  await agreeToDisposal(archive, other, proposal, rules)
  say(`disposed ${accession}`)
}

async function seal(accession: string): Promise<void> {
  const { sink, files } = fillObjects(archive)
  for (const path of ['bagit.txt', 'seal.p7s']) await sink.put(path, Buffer.from(`${path} ${chance(5)}`))
  const packet = { name: accession, digest: 'sha256:0' }
  await logSeal(archive, clerk, { act: 'sealed', accession, signer: 'CN=One', packet, files, after: null })
  say(`sealed ${accession}`)
}

for (;;) {
  const accession = await receive()
  if (chance(3) === 0) await seal(accession)
  switch (chance(5)) {
    case 0: {
      const { hold } = await placeHold(archive, counsel, 'A matter', { accessions: [accession] })
      say(`held ${hold}`)
      if (chance(2) === 0) {
        await releaseHold(archive, counsel, hold)
        say(`released ${hold}`)
      }
      break
    }
    case 1:
    case 2:
      await disposeOf(accession)
      break
    case 3:
      await checkFixity(archive, clerk)
      break
    case 4:
      await backUp(archive, clerk, archiveFolder(join(folder, 'copy')), 'copy')
      say('backed-up')
  }
}
