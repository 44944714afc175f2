/** The file that names the provider: every fault of it is told, with its place. */
import { expect, test } from 'vitest'
import { isSecureAddress, parseOpenId } from '../../../src/desk/server/openid/settings.ts'
import { formatFaults } from '../../../src/index.ts'

const least = 'openid: 1\nissuer: https://login.example\nclient: desk\nlabel: Brook & Finch\n'
const parse = (text: string) => parseOpenId(new TextEncoder().encode(text))

test('the least that it can say is enough', () => {
  expect(parse(least).settings).toEqual({
    openid: 1,
    issuer: 'https://login.example',
    client: 'desk',
    label: 'Brook & Finch',
  })
})

test.each([
  ['', ['line 1, column 1: the file must be of type object, not null']],
  [
    'openid: 2\n',
    ['openid must be 1, not 2', 'lacks the key "issuer"', 'lacks the key "client"', 'lacks the key "label"'],
  ],
  [`${least}secret: hunter2\n`, ['line 5, column 9: secret must say where the secret stands']],
  [`${least}secret: { file: a, environment: B }\n`, ['secret must say where the secret stands']],
  [`${least}client_secret: x\n`, ['line 5, column 1: the file has no key "client_secret"']],
  [`${least}roles: { claim: groups }\n`, ['roles lacks the key "values"']],
  [`${least}roles:\n  claim: groups\n  values:\n    - { value: a, roles: [king] }\n`, ['must be one of submitter']],
  [
    `${least}roles:\n  claim: groups\n  values:\n    - { value: a, roles: [submitter] }\n`,
    ['line 8, column 7: roles.values.0 lets a submitter in, and lacks the key "shop"'],
  ],
  [least.replace('https', 'http'), ['line 2, column 9: issuer must begin with https://']],
  [least.replace('https://login.example', 'https://login.example?a=b'), ['issuer must look like']],
  [least.replace('https://login.example', 'login.example'), ['issuer must look like']],
  [`${least}label: again\n`, ['line 5, column 1']],
])('%j is refused', (text, says) => {
  const { settings, faults } = parse(text)
  expect(settings).toBeNull()
  for (const words of says) expect(formatFaults(faults ?? [])).toContain(words)
})

test('a secret that stands in the file is not told', () => {
  for (const secret of [
    'hunter2',
    '[hunter2]',
    '{ hunter2: x }',
    '{ file: 2, value: hunter2 }',
    '{ environment: "hunter2 " }',
  ]) {
    const told = formatFaults(parse(`${least}secret: ${secret}\n`).faults ?? [])
    expect(told).toMatch(/^line 5, column \d+: secret must say where the secret stands: .+$/)
    expect(told).not.toContain('hunter2')
  }
})

test.each([
  ['https://login.example/a', true],
  ['http://127.0.0.1:8080', true],
  ['http://127.9.0.1', true],
  ['http://[::1]:80/', true],
  ['http://localhost:1', true],
  ['http://login.example', false],
  ['http://127.0.0.1.login.example', false],
  ['http://localhost.login.example', false],
  ['http://127.0.0.1@login.example', false],
  ['http://0x7f000001/', true],
  ['http://10.0.0.1', false],
  ['http://[::ffff:10.0.0.1]', false],
  ['ftp://127.0.0.1', false],
  ['javascript:alert(1)', false],
  ['', false],
])('%s: what is sent there cannot be read on the way: %s', (address, expected) => {
  expect(isSecureAddress(address)).toBe(expected)
})
