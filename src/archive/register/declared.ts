/** What the packet.yaml of a packet declares, for searches: the VIN, which else a packet without a readable one would lack. */
import { declarationFile, parseDeclaration } from '../../packet/declaration.ts'
import type { Received } from '../entry.ts'
import { parseManifest } from '../manifest.ts'
import type { ReadObject } from './project.ts'
import { foldFact, type PacketFact } from './report-facts.ts'

/** More than intake reads of it. */
const mostBytes = 1024 ** 2

/**
 * None where there is no packet.yaml, or one with faults: the check tells of those. It is read from what is kept and not
 * noted in the entry: what stands in the log stands there for ever.
 */
export async function declaredFacts({ manifest, packet }: Received, readObject: ReadObject): Promise<PacketFact[]> {
  const list = await readObject(manifest)
  const path = packet.bag ? `data/${declarationFile}` : declarationFile
  const file = list === null ? undefined : parseManifest(list)?.files.find((one) => one.path === path)
  if (file === undefined || packet.form === 'file' || file.bytes > mostBytes) return []
  const bytes = await readObject(file.sha256)
  if (bytes === null) return []
  const vin = parseDeclaration(new TextDecoder().decode(bytes)).declaration?.vehicle?.vin
  return vin === undefined ? [] : [{ kind: 'vin-declared', value: foldFact('vin-declared', vin) }]
}
