/** What of a packet is looked at, as it stands in the page's address. */

export const packetParts = ['findings', 'settle', 'events', 'drive', 'files', 'custody'] as const
export type PacketPart = (typeof packetParts)[number]

export interface PacketAddress {
  part: PacketPart
  /** The number of a finding, from 1; null for none. */
  finding: number | null
  /** The number of a file, from 1; null for none. */
  file: number | null
  group: string | null
  party: string | null
}

/** Of a query string; what cannot be used is left out. */
export function readPacketAddress(search: string): PacketAddress {
  const parameters = new URLSearchParams(search)
  const number = (name: string) => {
    const text = parameters.get(name) ?? ''
    return /^[1-9]\d{0,6}$/.test(text) ? Number(text) : null
  }
  return {
    part: packetParts.find((part) => part === parameters.get('part')) ?? 'findings',
    finding: number('finding'),
    file: number('file'),
    group: parameters.get('group') || null,
    party: parameters.get('party') || null,
  }
}

/** As a query string: empty, or beginning with `?`. */
export function writePacketAddress({ part, finding, file, group, party }: Partial<PacketAddress>): string {
  const parameters = new URLSearchParams()
  if (part !== undefined && part !== 'findings') parameters.set('part', part)
  for (const [name, value] of Object.entries({ finding, file, group, party }))
    if (value !== null && value !== undefined) parameters.set(name, String(value))
  const text = parameters.toString()
  return text === '' ? '' : `?${text}`
}
