/**
 * An OpenID Connect provider, asked as OpenID Connect Core 1.0 and Discovery 1.0 have it: authorization code flow with PKCE
 * (RFC 7636), state and nonce; the ID token's signature is verified by the provider's keys, though it comes over TLS.
 */
import * as client from 'openid-client'
import { isSecureAddress, type OpenIdSettings } from './settings.ts'

/** As the `fetch` of the platform; it bounds what it reads, and follows no redirects. */
export type AskProvider = (url: string, options: RequestInit) => Promise<Response>

/** What has to be remembered of a sign-in until the browser comes back. */
export interface Opening {
  state: string
  nonce: string
  verifier: string
}

/** Who somebody is, as the provider says. */
export interface Identity {
  issuer: string
  subject: string
  /** Lower case; null where there is none, or the provider does not say that it verified it. */
  email: string | null
  claims: Readonly<Record<string, unknown>>
  idToken: string
}

export interface Provider {
  settings: OpenIdSettings
  /** Where the browser signs in, and comes back from to `back`. Rejects with ProviderError. */
  begin(back: string): Promise<Opening & { address: string }>
  /** Who came back at `address`. Rejects with ProviderError. */
  finish(address: URL, opening: Opening): Promise<Identity>
  /** Where the browser ends its session with the provider, too; null where that cannot be done. */
  leave(idToken: string, back: string): Promise<string | null>
}

/** `down`: it does not answer. `refused`: it did not sign somebody in. `untrusted`: it answered what cannot be relied on. */
export type ProviderErrorKind = 'down' | 'refused' | 'untrusted'

export class ProviderError extends Error {
  override name = 'ProviderError'
  readonly kind: ProviderErrorKind

  constructor(kind: ProviderErrorKind, message: string, options?: ErrorOptions) {
    super(message, options)
    this.kind = kind
  }
}

export interface ProviderOptions {
  /** Of the client; null for one without. */
  secret: string | null
  ask: AskProvider
  now(): Date
  /** Seconds that one answer may take. */
  timeout?: number
}

/** How long what the provider states of itself is believed, in milliseconds. */
const metadataAge = 3_600_000

/** Asks the provider nothing before somebody signs in, and whenever it did not answer, anew. */
export function openProvider(settings: OpenIdSettings, options: ProviderOptions): Provider {
  const { now } = options
  let found: { configuration: Promise<client.Configuration>; at: number } | null = null
  const find = (): Promise<client.Configuration> => {
    const at = now().getTime()
    if (found !== null && at - found.at < metadataAge) return found.configuration
    const fresh = { configuration: discover(settings, options), at }
    found = fresh
    fresh.configuration.catch(() => {
      if (found === fresh) found = null
    })
    return fresh.configuration
  }
  return {
    settings,
    begin: (back) => telling(async () => beginAt(await find(), settings, back)),
    finish: (address, opening) => telling(async () => finishAt(await find(), address, opening)),
    leave: (idToken, back) =>
      telling(async () => leaveAt(await find(), idToken, back)).catch((error: unknown) => {
        if (error instanceof ProviderError) return null
        throw error
      }),
  }
}

async function discover(settings: OpenIdSettings, { secret, ask, timeout = 10 }: ProviderOptions) {
  const { issuer, client: id } = settings
  const guarded: client.CustomFetch = (url, { body, ...rest }) => askSafely(ask, url, { ...rest, body: body ?? null })
  const isOwn = issuer.startsWith('http:')
  const execute = isOwn ? [client.allowInsecureRequests] : []
  const options = { timeout, execute, [client.customFetch]: guarded }
  const metadata = (await client.discovery(new URL(issuer), id, undefined, client.None(), options)).serverMetadata()
  // Discovery 1.0, section 4.3: exactly. The library lets some slip.
  if (metadata.issuer !== issuer)
    throw new ProviderError('untrusted', `its issuer is ${metadata.issuer}, and ${issuer} was named`)
  const configuration = new client.Configuration(metadata, id, undefined, authenticate(metadata, secret))
  configuration[client.customFetch] = guarded
  configuration.timeout = timeout
  if (isOwn) client.allowInsecureRequests(configuration)
  client.enableNonRepudiationChecks(configuration)
  return configuration
}

/** Core 1.0, section 9: client_secret_basic unless the provider takes the other alone. */
function authenticate(metadata: client.ServerMetadata, secret: string | null): client.ClientAuth {
  if (secret === null) return client.None()
  const { token_endpoint_auth_methods_supported: methods = ['client_secret_basic'] } = metadata
  return methods.includes('client_secret_basic') || !methods.includes('client_secret_post')
    ? client.ClientSecretBasic(secret)
    : client.ClientSecretPost(secret)
}

async function askSafely(ask: AskProvider, url: string, options: RequestInit): Promise<Response> {
  if (!isSecureAddress(url)) throw new ProviderError('untrusted', `it wants to be asked at ${url}, in the clear`)
  const response = await ask(url, options).catch((error: Error) => {
    throw new ProviderError('down', `${new URL(url).host}: ${error.message}`, { cause: error })
  })
  if (response.status >= 500 || response.status === 429)
    throw new ProviderError('down', `${new URL(url).host} answered with the status ${response.status}`)
  return response
}

async function beginAt(
  configuration: client.Configuration,
  { scopes = ['email', 'profile'] }: OpenIdSettings,
  back: string,
) {
  const [verifier, state, nonce] = [client.randomPKCECodeVerifier(), client.randomState(), client.randomNonce()]
  const address = client.buildAuthorizationUrl(configuration, {
    redirect_uri: back,
    scope: [...new Set(['openid', ...scopes])].join(' '),
    code_challenge: await client.calculatePKCECodeChallenge(verifier),
    code_challenge_method: 'S256',
    state,
    nonce,
  }).href
  if (!isSecureAddress(address))
    throw new ProviderError('untrusted', `it wants people to sign in at ${new URL(address).origin}, in the clear`)
  return { verifier, state, nonce, address }
}

async function finishAt(configuration: client.Configuration, address: URL, opening: Opening): Promise<Identity> {
  const tokens = await client.authorizationCodeGrant(configuration, address, {
    pkceCodeVerifier: opening.verifier,
    expectedState: opening.state,
    expectedNonce: opening.nonce,
    idTokenExpected: true,
  })
  const own = tokens.claims()
  if (own === undefined || tokens.id_token === undefined) throw new ProviderError('untrusted', 'it gave no ID token')
  const { issuer, userinfo_endpoint: more } = configuration.serverMetadata()
  // Core 1.0, section 5.3.2: the subject must be the same.
  const told = more === undefined ? {} : await client.fetchUserInfo(configuration, tokens.access_token, own.sub)
  return {
    issuer,
    subject: own.sub,
    email: verifiedEmail(own) ?? verifiedEmail(told),
    claims: { ...told, ...own },
    idToken: tokens.id_token,
  }
}

/** Core 1.0, section 5.1. Address and assurance come from one source. */
const verifiedEmail = ({ email, email_verified: isVerified }: Readonly<Record<string, unknown>>): string | null =>
  isVerified === true && typeof email === 'string' && /^[^@\s]+@[^@\s]+$/.test(email) ? email.toLowerCase() : null

/** RP-Initiated Logout 1.0. */
async function leaveAt(configuration: client.Configuration, idToken: string, back: string): Promise<string | null> {
  if (configuration.serverMetadata().end_session_endpoint === undefined) return null
  const parameters = { id_token_hint: idToken, post_logout_redirect_uri: back }
  const { href } = client.buildEndSessionUrl(configuration, parameters)
  return isSecureAddress(href) ? href : null
}

async function telling<Told>(act: () => Promise<Told>): Promise<Told> {
  try {
    return await act()
  } catch (error) {
    throw explain(error)
  }
}

/** What the library throws, by what it means. Anything else is a fault of ours. */
function explain(error: unknown): unknown {
  for (let cause = error; cause instanceof Error; cause = cause.cause) if (cause instanceof ProviderError) return cause
  if (error instanceof client.AuthorizationResponseError)
    return new ProviderError('refused', `it answered: ${error.error}`, { cause: error })
  if (error instanceof client.ResponseBodyError)
    return new ProviderError('untrusted', `it did not take the code: ${error.error}`, { cause: error })
  const { code } = error as { code?: string }
  const isTheirs = error instanceof client.ClientError || error instanceof client.WWWAuthenticateChallengeError
  if (!(error instanceof Error) || !(isTheirs || code === 'ERR_INVALID_URL')) return error
  const kind = code === 'OAUTH_TIMEOUT' || code === 'OAUTH_ABORT' ? 'down' : 'untrusted'
  return new ProviderError(kind, `${error.message}${reasonOf(error.cause)}`, { cause: error })
}

/** The library's own error names the claim or attribute at fault. */
const reasonOf = (cause: unknown): string =>
  cause instanceof Error && cause.message !== '' ? ` (${cause.message})` : ''
