/** A packet before it is written: file name to content. */
export type PacketFiles = Record<string, Uint8Array | string>

/** Modules that all vehicles of the shop's examples answer with, the driver-assistance ones named as `assistance` says. */
export const modulesOf = (assistance: readonly string[]): string[] => [
  'Engine Control',
  'Transmission Control',
  'Brake and Stability Control',
  'Power Steering',
  'Airbag Control',
  'Body Control',
  'Instrument Cluster',
  'Central Gateway',
  'Climate Control',
  ...assistance,
]
