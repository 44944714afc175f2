/** What the tests use of the package, which brings no types. */
declare module 'oidc-provider' {
  import type { RequestListener } from 'node:http'

  export class Provider {
    constructor(issuer: string, configuration: Record<string, unknown>)
    callback(): RequestListener
  }
}
