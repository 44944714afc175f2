/**
 * Certificate policies on a path (RFC 5280, 6.1.2 to 6.1.5) with the initial settings of somebody who asks for no policy:
 * any will do, mapping and anyPolicy are allowed, none is required. So only an authority that itself requires one
 * (policy constraints) can make a path fail. Kept as one set of policies a level, as RFC 9618 proposes: whether the tree
 * is empty at the last level is all that is asked.
 */
import { isTagged, members, numberOf, octetsOf, oidOf, parseBer, partsOf } from '../ber.ts'
import { type Certificate, extensionOids } from './certificate.ts'
import { sameName } from './name.ts'

const anyPolicy = '2.5.29.32.0'

/** Valid policies, each with those that it may go by at the next level. */
type Level = Map<string, ReadonlySet<string>>

interface State {
  level: Level
  /** How many more certificates may go without: 0 for none. */
  explicit: number
  mapping: number
  any: number
}

/** What is wrong with the policies of a path, from the signer upwards to the trusted one; null where nothing is. */
export function findPolicyFault(path: readonly Certificate[]): string | null {
  const below = path.slice(0, -1).toReversed()
  const most = below.length + 1
  const state: State = { level: new Map([[anyPolicy, new Set([anyPolicy])]]), explicit: most, mapping: most, any: most }
  for (const [index, certificate] of below.entries()) {
    const isLast = index === below.length - 1
    const isSelfIssued = sameName(certificate.subjectName, certificate.issuerName)
    state.level = descend(state, certificate, isSelfIssued && !isLast)
    if (state.explicit === 0 && state.level.size === 0) return lacking(certificate)
    const mappings = readMappings(certificate)
    if (mappings.some((pair) => pair.includes(anyPolicy)))
      return `${certificate.facts.subject} maps a policy to any, or any to a policy`
    if (!isLast) {
      map(state, mappings)
      if (!isSelfIssued) countDown(state)
    } else if (state.explicit > 0) state.explicit--
    tighten(state, certificate, isLast)
    if (isLast && state.explicit === 0 && state.level.size === 0) return lacking(certificate)
  }
  return null
}

const lacking = ({ facts }: Certificate): string =>
  `An authority requires a policy, and ${facts.subject} stands under none that it knows`

/** 6.1.3 (d) and (e): what remains valid one level further down. */
function descend({ level, any }: State, certificate: Certificate, mayBeAny: boolean): Level {
  const policies = readPolicies(certificate)
  const next: Level = new Map()
  for (const policy of policies) {
    if (policy === anyPolicy) continue
    const isExpected = [...level.values()].some((expected) => expected.has(policy))
    if (isExpected || level.has(anyPolicy)) next.set(policy, new Set([policy]))
  }
  if (!policies.has(anyPolicy) || (any === 0 && !mayBeAny)) return next
  for (const expected of [...level.values()].flatMap((one) => [...one]))
    if (!next.has(expected)) next.set(expected, new Set([expected]))
  return next
}

/** 6.1.4 (b). */
function map(state: State, mappings: readonly (readonly [string, string])[]): void {
  const { level } = state
  const from = Map.groupBy(mappings, ([own]) => own)
  for (const [own, pairs] of from) {
    if (state.mapping === 0) level.delete(own)
    else if (level.has(own) || level.has(anyPolicy)) level.set(own, new Set(pairs.map(([, other]) => other)))
  }
}

/** 6.1.4 (h). */
function countDown(state: State): void {
  for (const name of ['explicit', 'mapping', 'any'] as const) if (state[name] > 0) state[name]--
}

/** 6.1.4 (i) and (j); for the last certificate 6.1.5 (b), where only a requirement of none left counts. */
function tighten(state: State, certificate: Certificate, isLast: boolean): void {
  const { required, unmapped } = readConstraints(certificate)
  if (isLast) {
    if (required === 0) state.explicit = 0
    return
  }
  state.explicit = Math.min(state.explicit, required ?? state.explicit)
  state.mapping = Math.min(state.mapping, unmapped ?? state.mapping)
  state.any = Math.min(state.any, readInhibitAny(certificate) ?? state.any)
}

function readPolicies({ extensions }: Certificate): ReadonlySet<string> {
  const extension = extensions.get(extensionOids.certificatePolicies)
  if (extension === undefined) return new Set()
  return new Set(partsOf(parseBer(extension.value)).map((one) => oidOf(partsOf(one)[0])))
}

function readMappings({ extensions }: Certificate): (readonly [string, string])[] {
  const extension = extensions.get(extensionOids.policyMappings)
  if (extension === undefined) return []
  return partsOf(parseBer(extension.value)).map((pair) => {
    const [own, other] = partsOf(pair)
    return [oidOf(own), oidOf(other)] as const
  })
}

function readConstraints({ extensions }: Certificate): { required: number | null; unmapped: number | null } {
  const extension = extensions.get(extensionOids.policyConstraints)
  const parts = extension === undefined ? [] : members(parseBer(extension.value))
  const under = (tag: number): number | null => {
    const part = parts.find(({ idBlock }) => idBlock.tagClass === 3 && idBlock.tagNumber === tag)
    if (part === undefined || isTagged(part, tag)) return null
    const digits = octetsOf(part)
    // A number that is out of all measure limits nothing on a path of a few certificates.
    return digits.length === 1 ? (digits[0] ?? 0) : 255
  }
  return { required: under(0), unmapped: under(1) }
}

function readInhibitAny({ extensions }: Certificate): number | null {
  const extension = extensions.get(extensionOids.inhibitAnyPolicy)
  return extension === undefined ? null : numberOf(parseBer(extension.value))
}
