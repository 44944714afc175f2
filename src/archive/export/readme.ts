/** README.txt of an export: what it holds, and how anybody verifies it. */

export interface ExportReadme {
  to: string
  by: string
  /** RFC 3339, UTC. */
  at: string
  origin: string
  key: string
  witnesses: readonly string[]
  accessions: readonly string[]
  /** Whether seals of packets are in it. */
  seals: boolean
  /** Path of the entry that says what was handed over. */
  entry: string
  /** SHA-256 of manifest-sha256.txt. */
  manifest: string
  /** Whether there is a seal. */
  sealed: boolean
  /** What was taken out of a derived copy, in words; null where it is none. */
  redacted: string | null
  /** Entries of the log that were left out of a derived copy. */
  entriesLeft: readonly number[]
}

/** Commands, to be run inside the export, that say nothing where all is well (GNU coreutils). */
export const exportCommands = [
  'sha256sum --check --strict --quiet manifest-sha256.txt',
  'sha512sum --check --strict --quiet manifest-sha512.txt',
  'sha256sum --check --strict --quiet tagmanifest-sha256.txt',
] as const

/** Of one packet's bag, which lies in `data/packets/NUMBER`. */
export const packetCommand = (accession: string): string =>
  `(cd data/packets/${accession} && sha256sum --check --strict --quiet manifest-sha256.txt)`

/** Plain text; commands stand on lines of their own. What is no ASCII in names comes as it is, in UTF-8. */
export function writeExportReadme(source: ExportReadme): string {
  const { to, by, at, origin, key, witnesses, accessions, entry, manifest, sealed } = source
  const [first = ''] = accessions
  return `${[
    'EXPORT FROM AN ARCHIVE',
    '',
    `Handed over to: ${line(to)}`,
    `By:             ${line(by)}, ${at}`,
    `Archive:        ${origin}`,
    `Packets:        ${accessions.length}`,
    ...derivedLines(source),
    '',
    'This is a BagIt bag (RFC 8493). In it:',
    `  data/packets/NUMBER   one bag for each packet, with ${source.redacted === null ? 'its files as they were received' : 'copies derived from its files'}`,
    ...(source.redacted === null
      ? ['                        (a packet that came as a bag is that bag, untouched)']
      : []),
    '  data/reports/NUMBER   the last report on it, where it was checked: JSON and a page',
    ...(source.seals
      ? [
          '  data/seals/NUMBER     seals of the packet that the archive keeps, each a sealed bag of its own,',
          '                        whole; the README.txt in it tells how it is verified',
        ]
      : []),
    '  data/load-file.csv    every file of the export, a row each (RFC 4180, UTF-8)',
    '  custody/              what was done with the packets: entries of the custody log, their',
    '                        proofs, the checkpoint that they rest on, and the keys',
    '',
    '1. Are the files those that were handed over? No output means yes.',
    '',
    ...exportCommands.map((command) => `    ${command}`),
    '',
    '   The bag of one packet by itself:',
    '',
    `    ${packetCommand(first)}`,
    '',
    '2. Does the log say so? The entry of this export names the SHA-256 of manifest-sha256.txt,',
    `   ${manifest}:`,
    '',
    '    sha256sum manifest-sha256.txt',
    `    cat ${entry}`,
    '',
    '   Does an entry stand in the log? (C2SP tlog-proof, signed-note, tlog-cosignature) Take the',
    '   key from whoever keeps the archive, not from here. Here it is said to be',
    '',
    `    ${key}`,
    '',
    `    witnessmark custody verify ${entry} --log-key KEY`,
    '',
    ...(witnesses.length === 0
      ? ['   The archive has named no witness of its log.']
      : [
          '   Witnesses of the log, whose cosignatures --witness KEY asks for:',
          '',
          ...witnesses.map((one) => `    ${one}`),
        ]),
    '',
    ...(sealed
      ? [
          '3. Who signed it? seal.p7s (CMS, RFC 5652) is over tagmanifest-sha256.txt. Put the certificates',
          '   of those whom you trust into ../signers.pem; get them from the signer, never from here.',
          '   A seal.tsr, where there is one, is a time stamp (RFC 3161) over seal.p7s.',
          '',
          '    openssl cms -verify -binary -inform DER -in seal.p7s -content tagmanifest-sha256.txt -CAfile ../signers.pem -out /dev/null',
        ]
      : ['3. It is not signed. That it is whole shows against the entry of the log alone.']),
    '',
    'WHAT THIS DOES NOT SHOW',
    '',
    'That what a record says is true, or that the archive has nothing else. A finding of a report is',
    'not an accusation; a person decides. The files hold personal data: keep them from those who have',
    'no right to see them.',
  ].join('\n')}\n`
}

function derivedLines({ redacted, entriesLeft }: ExportReadme): string[] {
  if (redacted === null) return []
  return [
    '',
    'DERIVED COPY. This is not what the archive keeps. These were taken out or replaced:',
    `  ${redacted}.`,
    'data/load-file.csv names, for each file, the SHA-256 under which the archive keeps the original,',
    'and each file that was left out, with the reason.',
    ...(entriesLeft.length === 0
      ? []
      : [`Entries of the log that hold such data were left out: ${entriesLeft.join(', ')}.`]),
  ]
}

/** A name is one line, whatever it is made of. */
const line = (text: string): string => text.replaceAll(/[\p{Cc}\p{Cf}\u2028\u2029]+/gu, ' ')
