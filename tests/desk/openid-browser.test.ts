/** Signing in with a provider as somebody does it, in a browser: `oidc-provider` is one that the OpenID Foundation certified. */
import { readFileSync } from 'node:fs'
import { createServer, type Server } from 'node:http'
import { createRequire } from 'node:module'
import type { AddressInfo } from 'node:net'
import { Provider } from 'oidc-provider'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { openProvider } from '../../src/desk/index.ts'
import { askProvider } from '../../src/io/provider-fetch.ts'
import { launchChromium } from '../report/chromium.ts'
import { readBuiltPage } from './built-page.ts'
import { type DeskPlace, openDeskPlace } from './server/desk-place.ts'

vi.setConfig({ testTimeout: 120_000, hookTimeout: 240_000 })

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const secret = 'the secret of the client'
/** Whom the provider knows, by what it calls them. */
const people: Record<string, object> = {
  'u-1001': { name: 'Bo Lind', groups: ['review', 'administration'] },
  'u-1002': { name: 'Cleo Marsh', email: 'cleo@brook.example', email_verified: true },
}
let server: Server
let place: DeskPlace
let browser: Browser
let page: Page
/** What the browser had to complain of on the desk's pages. */
const said: string[] = []

beforeAll(async () => {
  server = createServer()
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done))
  // Another site than the desk's, to the browser.
  const issuer = `http://localhost:${(server.address() as AddressInfo).port}`
  const values = [
    { value: 'review', roles: ['reviewer' as const] },
    { value: 'administration', roles: ['administrator' as const] },
  ]
  const provider = openProvider(
    { openid: 1, issuer, client: 'desk', label: 'Brook & Finch', roles: { claim: 'groups', values } },
    { secret, ask: askProvider, now: () => new Date() },
  )
  const openid = { provider, tell: () => undefined }
  place = await openDeskPlace({ accounts: true, page: await readBuiltPage(), openid })
  server.on('request', new Provider(issuer, describeProvider(place.address)).callback())
  browser = await launchChromium()
  page = await openPage('light')
})

afterAll(async () => {
  await browser?.close()
  await place?.close()
  server?.closeAllConnections()
  server?.close()
})

const describeProvider = (desk: string) => ({
  clients: [
    {
      client_id: 'desk',
      client_secret: secret,
      redirect_uris: [`${desk}/openid/return`],
      post_logout_redirect_uris: [`${desk}/`],
    },
  ],
  claims: { openid: ['sub', 'groups'], email: ['email', 'email_verified'], profile: ['name'] },
  findAccount: (_: unknown, sub: string) => ({ accountId: sub, claims: async () => ({ sub, ...people[sub] }) }),
  pkce: { required: () => true },
  cookies: { keys: ['of a test'] },
  features: { devInteractions: { enabled: true }, rpInitiatedLogout: { enabled: true } },
})

async function openPage(colorScheme: 'light' | 'dark', bypassCSP = false): Promise<Page> {
  const context = await browser.newContext({ colorScheme, bypassCSP, viewport: { width: 1280, height: 900 } })
  // Nothing of this leaves the machine: the provider's own pages would have a font from elsewhere.
  await context.route(/^https?:\/\/(?!127\.0\.0\.1|localhost)/, (route) => route.abort())
  const own = await context.newPage()
  own.setDefaultTimeout(30_000)
  own.on('console', (message) => {
    if (message.location().url.startsWith(place.address)) said.push(message.text())
  })
  own.on('pageerror', (error) => void said.push(error.message))
  return own
}

const door = () => page.getByRole('button', { name: 'Sign in with Brook & Finch' })

/** At the provider. */
async function signInAs(subject: string): Promise<void> {
  await door().click()
  await page.getByPlaceholder('Enter any login').fill(subject)
  await page.getByPlaceholder('and password').fill('any')
  await page.getByRole('button', { name: 'Sign-in' }).click()
  await page.getByRole('button', { name: 'Continue' }).click()
}

async function signOut(): Promise<void> {
  await page.getByRole('button', { name: 'Sign out' }).click()
  await page.getByRole('button', { name: 'Yes, sign me out' }).click()
  await door().waitFor()
}

test('leads to the provider and back, to what was looked at', async () => {
  await page.goto(`${place.address}/audit?by=shop`)
  await signInAs('u-1001')
  await page.locator('.who', { hasText: 'Bo Lind' }).waitFor()
  expect(page.url()).toBe(`${place.address}/audit?by=shop`)
  expect(await page.locator('.who').textContent()).toContain('administrator, reviewer')
  const cookies = await page.context().cookies(place.address)
  expect(cookies.find(({ name }) => name === 'desk')).toMatchObject({ httpOnly: true, sameSite: 'Strict' })
  expect(cookies.map(({ name }) => name)).not.toContain('desk-openid')
})

test('and out again, of both', async () => {
  await signOut()
  expect(page.url()).toBe(`${place.address}/`)
  await door().click()
  // The provider asks anew who it is.
  await page.getByPlaceholder('Enter any login').waitFor()
})

test('somebody who thinks better of it there is told so here', async () => {
  await page.getByRole('link', { name: 'Cancel' }).click()
  await page.getByRole('alert').waitFor()
  expect(await page.getByRole('alert').textContent()).toContain('Brook & Finch did not sign you in')
  expect(page.url()).toBe(`${place.address}/`)
})

test('somebody whom nobody let in is told by what they can be, and what stood in the address is gone', async () => {
  await signInAs('u-1002')
  await page.getByRole('alert').waitFor()
  const told = await page.getByRole('alert').textContent()
  expect(told).toContain('You have no account at this desk')
  expect(told).toContain('u-1002, with the address cleo@brook.example')
  expect(page.url()).toBe(`${place.address}/`)
  expect((await page.context().cookies(place.address)).map(({ name }) => name)).not.toContain('desk')
})

test('an administrator adds them by that address, and they are in, under the name of the desk', async () => {
  await page.context().clearCookies()
  await page.goto(`${place.address}/people`)
  await signInAs('u-1001')
  await page.getByRole('button', { name: 'Add somebody …' }).click()
  const dialog = page.getByRole('dialog')
  await dialog.getByLabel('Name', { exact: true }).fill('Cleo M. Marsh')
  await dialog.getByLabel('by an e-mail address that it verified').fill('Cleo@brook.example')
  await dialog.getByRole('button', { name: 'Add' }).click()
  const line = page.getByRole('row', { name: 'Cleo M. Marsh' })
  await line.waitFor()
  expect(await line.textContent()).toContain('first with cleo@brook.example')
  await signOut()
  await signInAs('u-1002')
  await page.locator('.who', { hasText: 'Cleo M. Marsh' }).waitFor()
  await signOut()
})

test('of whom the provider says the roles, an administrator says them from then on', async () => {
  people['u-1003'] = { name: 'Dan Reed', groups: ['review'] }
  await page.goto(place.address)
  await signInAs('u-1003')
  await page.locator('.who', { hasText: 'Dan Reed' }).waitFor()
  await signOut()
  await page.goto(`${place.address}/people`)
  await signInAs('u-1001')
  await page.getByRole('button', { name: 'Change Dan Reed' }).click()
  const dialog = page.getByRole('dialog')
  expect(await dialog.getByLabel('custodian:', { exact: false }).count()).toBe(0)
  await dialog.getByRole('button', { name: 'Say it here from now on' }).click()
  await dialog.getByLabel('custodian:', { exact: false }).check()
  await dialog.getByRole('button', { name: 'Change', exact: true }).click()
  await dialog.waitFor({ state: 'detached' })
  const line = page.getByRole('row', { name: 'Dan Reed' })
  await expect.poll(() => line.textContent()).toContain('custodian, reviewer')
  expect(await line.textContent()).not.toContain('as the provider says')
  await signOut()
  await signInAs('u-1003')
  await page.locator('.who', { hasText: 'custodian, reviewer' }).waitFor()
  await signOut()
})

test.each(['light', 'dark'] as const)('the door breaks no rule of axe in %s', async (colorScheme) => {
  // The tool is put into the page, which the policy would not let in.
  const own = await openPage(colorScheme, true)
  await own.goto(place.address)
  await own.getByRole('button', { name: 'Sign in with Brook & Finch' }).waitFor()
  await own.addScriptTag({ content: axe })
  const results = (await own.evaluate('axe.run()')) as { violations: { id: string }[]; passes: object[] }
  expect(results.violations.map(({ id }) => id)).toEqual([])
  expect(results.passes.length).toBeGreaterThan(10)
  await own.context().close()
})

test('nothing was wrong in the browser, and nothing a fault of the program', () => {
  // Who is not signed in is told so with the status 401, of which browsers complain.
  expect(said.filter((text) => !/status of 40[13]/.test(text))).toEqual([])
  expect(place.faults).toEqual([])
})
