/** The file that says by whom people sign in; schemas/openid.schema.json states it. */
import schema from '../../../../schemas/openid.schema.json' with { type: 'json' }
import { parseSettings, type RulebookFault } from '../../../index.ts'
import type { Role } from '../../contract.ts'

export interface OpenIdSettings {
  openid: 1
  issuer: string
  client: string
  /** Where the client's secret stands; nowhere for a client without one. */
  secret?: { file: string } | { environment: string }
  label: string
  scopes?: string[]
  domains?: string[]
  name?: string
  roles?: RolesByClaim
}

export interface RolesByClaim {
  /** Its name, or the names that lead to it. */
  claim: string | string[]
  values: { value: string; roles: Role[]; shop?: string }[]
}

/** The settings, or every fault of the file with its place. */
export function parseOpenId(
  bytes: Uint8Array,
): { settings: OpenIdSettings; faults: null } | { settings: null; faults: RulebookFault[] } {
  const result = parseSettings<OpenIdSettings>(bytes, schema, 'the file')
  if (result.settings === null) return { settings: null, faults: withoutSecret(result.faults) }
  const { settings, faultAt } = result
  const faults: RulebookFault[] = []
  if (!isSecureAddress(settings.issuer))
    faults.push(faultAt(['issuer'], 'issuer must begin with https://; http:// is for a provider on this machine'))
  for (const [at, { roles, shop }] of (settings.roles?.values ?? []).entries())
    if (roles.includes('submitter') && shop === undefined)
      faults.push(faultAt(['roles', 'values', at], `roles.values.${at} lets a submitter in, and lacks the key "shop"`))
  return faults.length === 0 ? { settings, faults: null } : { settings: null, faults }
}

/** A secret that was written into the file itself is not told to a terminal, too. */
function withoutSecret(faults: readonly RulebookFault[]): RulebookFault[] {
  const first = faults.find(({ path }) => path.startsWith('secret'))
  if (first === undefined) return [...faults]
  const message = 'secret must say where the secret stands: { file: PATH } or { environment: NAME }'
  return faults.flatMap((fault) => {
    if (fault === first) return { ...fault, message }
    return fault.path.startsWith('secret') ? [] : fault
  })
}

/** Whether what is sent there cannot be read on the way: https, or a host that is this machine. */
export function isSecureAddress(address: string): boolean {
  const url = URL.parse(address)
  if (url === null || url.protocol === 'https:') return url !== null
  return url.protocol === 'http:' && /^(localhost|127\.\d+\.\d+\.\d+|\[::1\])$/.test(url.hostname)
}
