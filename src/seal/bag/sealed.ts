/** What RFC 8493 leaves open, and a sealed bag has in one way alone, so that no byte of it can change without a trace. */
import { namesFile, readNames } from '../../facts/original-names.ts'
import type { SealFault } from '../../facts/seal.ts'
import type { Manifest } from './manifest.ts'
import { decodeUtf8, parseTags, writeTags } from './tags.ts'
import { type BagView, isBesideSeal, isPayload, sealedManifests } from './view.ts'

export function findSealedFaults(view: BagView, manifests: readonly Manifest[]): SealFault[] {
  return [
    ...[...sealedManifests.payload, ...sealedManifests.tags].flatMap((name) => holdToForm(name, manifests)),
    ...sealedManifests.tags.flatMap((name) => holdToCoverage(name, view, manifests)),
    ...findInfoFaults(view),
    ...findNameFaults(view),
  ]
}

function holdToForm(name: string, manifests: readonly Manifest[]): SealFault[] {
  const manifest = manifests.find(({ file }) => file === name)
  if (manifest === undefined) return [{ file: name, code: 'missing', text: `${name} is missing` }]
  return manifest.canonical ? [] : [rewritten(name)]
}

const rewritten = (name: string): SealFault => ({
  file: name,
  code: 'rewritten',
  text: `${name} is not in the form that it was written in`,
})

/** Each of the two lists every tag file and nothing else: the signature covers only one, which must vouch for the other. */
function holdToCoverage(name: string, view: BagView, manifests: readonly Manifest[]): SealFault[] {
  const manifest = manifests.find(({ file }) => file === name)
  if (manifest === undefined) return []
  const listed = new Set(manifest.entries.map(({ path }) => path))
  const faults = view.entries
    .filter((entry) => !isPayload(entry) && !isBesideSeal(entry.path) && !listed.has(entry.path))
    .map(({ path }) => ({
      file: path,
      code: 'uncovered',
      text: `${path} was not there when the bag was sealed: ${name} does not list it`,
    }))
  const tooMany = manifest.entries.some((entry) => isPayload(entry) || isBesideSeal(entry.path))
  return tooMany ? [...faults, rewritten(name)] : faults
}

function findInfoFaults({ tagFiles }: BagView): SealFault[] {
  const info = decodeUtf8(tagFiles.get('bag-info.txt'))
  return info === writeTags(parseTags(info).tags) ? [] : [rewritten('bag-info.txt')]
}

function findNameFaults({ tagFiles, entries }: BagView): SealFault[] {
  try {
    const known = readNames(decodeUtf8(tagFiles.get(namesFile)))
    return entries
      .filter((entry) => isPayload(entry) && !known.has(entry.path))
      .slice(0, 1)
      .map(({ path }) => ({
        file: namesFile,
        code: 'names-incomplete',
        text: `${namesFile} has no name for ${path}`,
      }))
  } catch (error) {
    return [{ file: namesFile, code: 'names-malformed', text: (error as Error).message }]
  }
}
