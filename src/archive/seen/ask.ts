/** The archive as it is asked about a packet that is being reviewed. */
import type { ArchiveAnswer, Packet } from '../../packet/packet.ts'
import { type Archive, guard, putObject, readObject } from '../archive.ts'
import { lookUp } from './look-up.ts'
import { formatPrints, printsOf } from './prints.ts'

/** See `Outside.archive`. */
export interface AskedArchive {
  lookUp(packet: Packet): Promise<ArchiveAnswer>
}

/**
 * The open archive as `Outside.archive`. `except`: the number of the packet itself, where one that is kept is checked again;
 * it is found by its digest where it is left out.
 * Asking is logged nowhere and writes nothing.
 */
export function askArchive(archive: Archive, except?: string): AskedArchive {
  const read = (sha256: string) => readObject(archive.outside.storage, sha256)
  const options = { archive: archive.key.name, ...(except === undefined ? {} : { except }) }
  return { lookUp: (packet) => guard(archive, () => lookUp(archive.db, read, packet, options)) }
}

/** Keeps the prints of a packet as an object; its digest is the `prints` of the entry `checked`. */
export const keepPrints = ({ outside }: Archive, packet: Packet): Promise<string> =>
  putObject(outside.storage, formatPrints(printsOf(packet)))
