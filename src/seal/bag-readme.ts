/** README.txt of a sealed bag: how anybody verifies it by hand, with public programs alone. */

export interface ReadmeSource {
  /** When the bag was signed, RFC 3339 in UTC, whole seconds. */
  signed: string
  /** SHA-256 of the signer's certificate, lower-case hexadecimal. */
  fingerprint: string
}

/**
 * The commands by what they answer, to be run inside the bag. `../signers.pem` and `../authorities.pem` hold the
 * certificates of those whom the verifier trusts (GNU coreutils, OpenSSL 3).
 */
export function listCommands({ signed }: Pick<ReadmeSource, 'signed'>) {
  const seconds = Math.floor(Date.parse(signed) / 1000)
  return {
    files: [
      'sha256sum --check --strict --quiet manifest-sha256.txt',
      'sha512sum --check --strict --quiet manifest-sha512.txt',
      'sha256sum --check --strict --quiet tagmanifest-sha256.txt',
    ],
    extra: ['bash -c "diff <(cut -c67- manifest-sha256.txt | LC_ALL=C sort) <(find data -type f | LC_ALL=C sort)"'],
    signature: [
      `openssl cms -verify -binary -inform DER -in seal.p7s -content tagmanifest-sha256.txt -CAfile ../signers.pem -attime ${seconds} -out /dev/null`,
    ],
    fingerprint: [
      'openssl pkcs7 -inform DER -in seal.p7s -print_certs | openssl x509 -noout -subject -fingerprint -sha256',
    ],
    stamp: [`openssl ts -verify -data seal.p7s -in seal.tsr -CAfile ../authorities.pem -attime ${seconds}`],
    time: ['openssl ts -reply -in seal.tsr -text'],
  } as const
}

/** All of them, in the order of the README. */
export const verifyingCommands = (signed: string): string[] => Object.values(listCommands({ signed })).flat()

/** The text, ASCII, lines of at most 80 columns but for commands, which stand on lines of their own. */
export function writeReadme(source: ReadmeSource): string {
  const { files, extra, signature, fingerprint, stamp, time } = listCommands(source)
  const command = (lines: readonly string[]) => lines.map((line) => `    ${line}`)
  return `${[
    'SEALED PACKET',
    '',
    'This folder is a BagIt bag (RFC 8493). The files as they were received lie in',
    'data/, their bytes untouched; original-names.json tells the name that each had.',
    'report/ holds the review that was made of them, and the rules that it used.',
    'Nothing here needs the program that made it: the commands below verify the bag',
    'with GNU coreutils and OpenSSL. Run them inside this folder.',
    '',
    '1. Are the files those that were sealed? No output means yes.',
    '',
    ...command(files),
    '',
    '   Is there a file in data/ that was not sealed? No output means no.',
    '',
    ...command(extra),
    '',
    '2. Does the signature cover the list of files? (CMS, RFC 5652)',
    '',
    '   Put the certificates of those whom you trust into ../signers.pem. Get them',
    '   from the signer or from the authority that vouches for the signer, never from',
    '   this folder: whoever can change the files can change what lies beside them.',
    '   The number is the time of the signature in seconds since 1970-01-01 UTC.',
    '',
    ...command(signature),
    '',
    '   Whose signature is it? Have the signer read the fingerprint out to you.',
    `   When this was sealed it was ${source.fingerprint.slice(0, 32)}`,
    `   ${source.fingerprint.slice(32)}.`,
    '',
    ...command(fingerprint),
    '',
    '3. Since when? (time stamp, RFC 3161; where there is a seal.tsr)',
    '',
    '   Put the certificates of the authorities that you trust into',
    '   ../authorities.pem. Without a stamp the time is the word of the signer alone.',
    '   For a stamp that was added later, use a time at which it was valid.',
    '',
    ...command(stamp),
    ...command(time),
    '',
    '4. Renewals. A folder renewal-N holds a later time stamp over a list of all that',
    '   was there before it, made before an algorithm or a certificate aged: verify',
    '   its manifest with sha512sum and its stamp with "openssl ts", as above.',
    '',
    'WHAT THIS DOES NOT SHOW',
    '',
    'That what a record says is true, that a sensor is aimed, that nothing was left',
    'out, or what happened before the packet was sealed. A finding of the report is',
    "not an accusation; a person decides. The vehicle maker's service information,",
    'local law and licensed practice rule. The files hold personal data: keep them',
    'from those who have no right to see them.',
  ].join('\n')}\n`
}
