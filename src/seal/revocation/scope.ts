/**
 * What a revocation list is about (issuing distribution point, RFC 5280, 5.2.5), what a certificate says of where its
 * revocation is told (distribution points, 4.2.1.13), and whether the two meet (6.3.3 b and d).
 */
import type { BaseBlock } from 'asn1js'
import { members, octetsOf, only, parseBer, partsOf } from '../ber.ts'
import { type Certificate, extensionOids } from '../certificates/certificate.ts'
import { keyOfGeneralName, readGeneralNames } from '../certificates/general-name.ts'
import { keyOfRelative, sameName } from '../certificates/name.ts'

export interface ListScope {
  /** Of the distribution point, each as `keyOfGeneralName`; null where any. */
  names: readonly string[] | null
  onlyUsers: boolean
  onlyAuthorities: boolean
  onlyAttributes: boolean
  /** Bits of `allReasons`. */
  reasons: number
  isIndirect: boolean
  /** Equal where two lists have the same scope. */
  key: string
}

/** ReasonFlags, bits 1 (keyCompromise) to 8 (aACompromise). */
export const allReasons = 0b1_1111_1110

const everything: ListScope = {
  names: null,
  onlyUsers: false,
  onlyAuthorities: false,
  onlyAttributes: false,
  reasons: allReasons,
  isIndirect: false,
  key: '',
}

/** Of the extension's value, of a list by `issuer`; of a list without one, everything. */
export function readScope(value: Uint8Array | undefined, issuer: readonly string[]): ListScope {
  if (value === undefined) return everything
  const fields = partsOf(parseBer(value))
  const under = (tag: number) => fields.find(({ idBlock }) => idBlock.tagClass === 3 && idBlock.tagNumber === tag)
  const isTrue = (tag: number) => {
    const field = under(tag)
    return field !== undefined && octetsOf(field)[0] !== 0
  }
  const [name, reasons] = [under(0), under(3)]
  return {
    names: name === undefined ? null : readPointName(name, issuer),
    onlyUsers: isTrue(1),
    onlyAuthorities: isTrue(2),
    onlyAttributes: isTrue(5),
    reasons: reasons === undefined ? allReasons : readReasons(reasons),
    isIndirect: isTrue(4),
    key: Buffer.from(value).toString('hex'),
  }
}

/** DistributionPointName under its tag: names in full [0], or one relative to the authority [1]. */
function readPointName(tagged: BaseBlock, issuer: readonly string[]): string[] {
  const choice = only(tagged)
  if (choice.idBlock.tagNumber === 0) return readGeneralNames(choice).map(keyOfGeneralName)
  return [keyOfGeneralName({ form: 'directory', keys: [...issuer, keyOfRelative(choice)] })]
}

/** The bits of a BIT STRING under an implicit tag, the first as 1. */
function readReasons(block: BaseBlock): number {
  const [, first = 0, second = 0] = octetsOf(block)
  let mask = 0
  for (let bit = 0; bit < 8; bit++) if ((first & (0x80 >> bit)) !== 0) mask |= 1 << bit
  return (second & 0x80) === 0 ? mask : mask | (1 << 8)
}

interface DistributionPoint {
  names: readonly string[] | null
  reasons: number
  /** Names of another authority that makes the list, each as `keyOfGeneralName`; null where it is that of the certificate. */
  issuers: readonly string[] | null
}

/** Where a certificate says that its revocation is told, and after that wherever its own authority tells it. */
function pointsOf({ extensions, issuerName }: Certificate): DistributionPoint[] {
  const own = keyOfGeneralName({ form: 'directory', keys: issuerName })
  const assumed = { names: [own], reasons: allReasons, issuers: null }
  const extension = extensions.get(extensionOids.distributionPoints)
  if (extension === undefined) return [assumed]
  const points = partsOf(parseBer(extension.value)).map((point): DistributionPoint => {
    const fields = members(point)
    const under = (tag: number) => fields.find(({ idBlock }) => idBlock.tagClass === 3 && idBlock.tagNumber === tag)
    const [name, reasons, issuer] = [under(0), under(1), under(2)]
    const issuers = issuer === undefined ? null : readGeneralNames(issuer)
    const [first] = issuers ?? []
    const base = first?.form === 'directory' ? first.keys : issuerName
    return {
      names: name === undefined ? null : readPointName(name, base),
      reasons: reasons === undefined ? allReasons : readReasons(reasons),
      issuers: issuers?.map(keyOfGeneralName) ?? null,
    }
  })
  return [...points, assumed]
}

/** Bits of the reasons for which a list by `issuer` speaks for a certificate: 0 where it does not. */
export function coveredReasons(
  { scope, issuer }: { scope: ListScope; issuer: readonly string[] },
  certificate: Certificate,
): number {
  if (scope.onlyAttributes) return 0
  if (certificate.isAuthority ? scope.onlyUsers : scope.onlyAuthorities) return 0
  return pointsOf(certificate)
    .filter((point) => meets(scope, issuer, certificate, point))
    .reduce((mask, { reasons }) => mask | (reasons & scope.reasons), 0)
}

function meets(
  scope: ListScope,
  issuer: readonly string[],
  certificate: Certificate,
  point: DistributionPoint,
): boolean {
  const byOther = point.issuers?.includes(keyOfGeneralName({ form: 'directory', keys: issuer })) ?? false
  if (point.issuers === null ? !sameName(issuer, certificate.issuerName) : !(byOther && scope.isIndirect)) return false
  if (scope.names === null) return true
  const wanted = point.names ?? point.issuers ?? []
  return scope.names.some((name) => wanted.includes(name))
}
