/**
 * Seals renewed over decades: by authorities that are fit and known, and by others. The times are made up; the tokens are by
 * keys at hand. After RFC 4998, section 5: a renewal must come while what lies below it still holds.
 */
import { createHash } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Subordinate } from '../../examples/time-authority.ts'
import type { AlgorithmRule } from '../../src/facts/algorithms.ts'
import type { BagView } from '../../src/seal/bag/examine.ts'
import { examineSeal } from '../../src/seal/examine.ts'
import { renewalFiles, writeRenewalManifest } from '../../src/seal/renewal.ts'
import { wrapToken } from '../../src/seal/stamp/exchange.ts'
import { makeBag, openScene, policy, type Scene, viewBag } from './scene.ts'
import { makeToken, type Stamper, type TokenOptions } from './token-maker.ts'

let scene: Scene
let made: Awaited<ReturnType<typeof makeBag>>
let sealed: BagView
const stampers: Record<string, Stamper> = {}
beforeAll(async () => {
  scene = await openScene()
  made = await makeBag(await scene.sign({ name: 'Records desk' }), scene.stamp)
  sealed = await viewBag(made.bag)
  const kinds: Record<string, Partial<Subordinate>> = {
    fit: { section: 'stamping' },
    strong: { section: 'stamping', key: ['-algorithm', 'RSA', '-pkeyopt', 'rsa_keygen_bits:3072'] },
    unfit: { section: 'signing' },
    short: { section: 'stamping', days: 30 },
  }
  for (const [name, kind] of Object.entries(kinds)) {
    const { certificate, issuers } = await scene.sign({ name, ...kind })
    stampers[name] = { key: await scene.file(`${name}.key`), certificate, above: issuers }
  }
})
afterAll(async () => {
  await made.remove()
  await scene.close()
})

const day = 86_400_000
const inDays = (days: number) => new Date(Date.now() + days * day)

function put(view: BagView, path: string, content: Uint8Array): BagView {
  const digest = (name: string) => createHash(name).update(content).digest('hex')
  const digests = { 'sha-256': digest('sha256'), 'sha-512': digest('sha512') }
  const entries = [...view.entries.filter((entry) => entry.path !== path), { path, bytes: content.length, digests }]
  return {
    ...view,
    entries: entries.toSorted((one, other) => (one.path < other.path ? -1 : 1)),
    tagFiles: new Map([...view.tagFiles, [path, content]]),
  }
}

const drop = (view: BagView, path: string): BagView => ({
  ...view,
  entries: view.entries.filter((entry) => entry.path !== path),
  tagFiles: new Map([...view.tagFiles].filter(([own]) => own !== path)),
})

interface Renewal extends Partial<TokenOptions> {
  by: string
  number?: number
  manifest?: (text: string) => string
}

function renew(view: BagView, time: Date, { by, number = 1, manifest = (text) => text, ...rest }: Renewal): BagView {
  const text = new TextEncoder().encode(manifest(writeRenewalManifest(view.entries)))
  const files = renewalFiles(number)
  const token = makeToken(stampers[by] as Stamper, { stamped: text, time, ...rest })
  return put(put(view, files.manifest, text), files.stamp, wrapToken(token))
}

interface Asked {
  at: Date
  rules?: readonly AlgorithmRule[]
  trust?: Scene['trust']
}

function examine(view: BagView, { at, rules = policy, trust = scene.trust }: Asked) {
  const { parts, stamps } = examineSeal(view, { trust, policy: rules, at }).examination
  const of = (name: string) => parts.find(({ part }) => part === name)
  const brief = (name: string) => (of(name) === undefined ? 'none' : `${of(name)?.state} ${of(name)?.code}`)
  return {
    stamp: brief('stamp'),
    signature: brief('signature'),
    signer: brief('signer'),
    renewal: brief('renewal'),
    text: of('renewal')?.text ?? '',
    faults: of('renewal')?.faults.map(({ code, file }) => `${code} ${file}`) ?? [],
    stamps: stamps.map(({ file }) => file),
  }
}

/** Rules by which ECDSA is relied on for a year from now, and RSA for ten. */
const ageing = (): AlgorithmRule[] => {
  const dayOf = (date: Date) => date.toISOString().slice(0, 10)
  return policy.map((rule) => ({
    ...rule,
    until: dayOf(inDays(rule.name.startsWith('ecdsa') ? 365 : 3650)),
  }))
}

describe('renewals by authorities that are known', () => {
  test('one', () => {
    const renewed = renew(sealed, inDays(300), { by: 'fit' })
    expect(examine(renewed, { at: inDays(400) })).toMatchObject({
      stamp: 'holds stamped',
      renewal: 'holds renewed',
      text: 'A later time stamp carries the proof on',
      stamps: ['seal.tsr', 'renewal-1/stamp.tsr'],
    })
  })

  test('three, each over the one before', () => {
    let view = sealed
    for (const number of [1, 2, 3]) view = renew(view, inDays(number * 100), { by: 'fit', number })
    expect(examine(view, { at: inDays(400) })).toMatchObject({
      renewal: 'holds renewed',
      text: '3 later time stamps carry the proof on',
      stamps: ['seal.tsr', ...[1, 2, 3].map((number) => `renewal-${number}/stamp.tsr`)],
    })
  })

  test('carry the proof over an algorithm that has aged since, and nothing else does', () => {
    const at = inDays(1000)
    const rules = ageing()
    // Two years on, the ECDSA of signature and stamp is relied on no more.
    expect(examine(sealed, { at, rules })).toMatchObject({ stamp: 'broken algorithm-weak' })
    const inTime = renew(sealed, inDays(300), { by: 'strong' })
    expect(examine(inTime, { at, rules })).toMatchObject({
      signature: 'holds covers',
      signer: 'holds trusted',
      stamp: 'holds stamped',
      renewal: 'holds renewed',
    })
    // Renewed when it had aged already, the first stamp proves nothing any more.
    const late = renew(sealed, inDays(500), { by: 'strong' })
    expect(examine(late, { at, rules })).toMatchObject({ stamp: 'broken algorithm-weak' })
    // A renewal by what has aged itself carries nothing on, but where a further one came in time.
    const weak = renew(sealed, inDays(300), { by: 'fit' })
    expect(examine(weak, { at, rules }).renewal).toBe('broken broken')
    const twice = renew(weak, inDays(350), { by: 'strong', number: 2 })
    expect(examine(twice, { at, rules })).toMatchObject({ stamp: 'holds stamped', renewal: 'holds renewed' })
  })

  test('hold no longer than the algorithms of the last', () => {
    const renewed = renew(sealed, inDays(300), { by: 'strong' })
    const { renewal, faults } = examine(renewed, { at: inDays(4000), rules: ageing() })
    expect(renewal).toBe('broken broken')
    expect(faults).toContain('algorithm-weak renewal-1/stamp.tsr')
    expect(faults).toContain('algorithm-weak renewal-1/manifest-sha512.txt')
  })

  test('hold though the certificate of the authority has expired since: it was valid when it stamped', () => {
    const renewed = renew(sealed, inDays(20), { by: 'short' })
    expect(examine(renewed, { at: inDays(500) }).renewal).toBe('holds renewed')
  })
})

describe('renewals by authorities that nobody may rely on', () => {
  test.each([
    ['unfit to stamp', { by: 'unfit' }, 300, 'wrong-purpose'],
    ['whose certificate had expired', { by: 'short' }, 40, 'expired'],
    ['by a digest that is not relied on', { by: 'fit', digest: 'sha-1' }, 300, 'algorithm-weak'],
    ['over something else', { by: 'fit', stamped: new Uint8Array([1]) }, 300, 'imprint-differs'],
    ['that is not bound to a certificate', { by: 'fit', unbound: true }, 300, 'not-bound'],
  ] as const)('%s', (_, renewal, days, code) => {
    const { renewal: brief, faults } = examine(renew(sealed, inDays(days), renewal), { at: inDays(400) })
    expect(brief).toBe('broken broken')
    expect(faults).toEqual([`${code} renewal-1/stamp.tsr`])
  })

  test('unknown: doubtful, and the seal is judged as if there were none', () => {
    const renewed = renew(sealed, inDays(300), { by: 'strong' })
    const trust = { certificates: [], fingerprints: [] }
    expect(examine(renewed, { at: inDays(400), trust })).toMatchObject({
      stamp: 'doubtful authority-not-listed',
      renewal: 'doubtful authority-not-listed',
    })
    // Only the signer's own root is known, and the stamp has aged.
    expect(examine(renewed, { at: inDays(1000), trust, rules: ageing() }).stamp).toBe('broken algorithm-weak')
  })

  test('an unfit one between two that are fit breaks the chain', () => {
    let view = renew(sealed, inDays(100), { by: 'fit' })
    view = renew(view, inDays(200), { by: 'unfit', number: 2 })
    view = renew(view, inDays(300), { by: 'fit', number: 3 })
    const { renewal, faults } = examine(view, { at: inDays(400) })
    expect(renewal).toBe('broken broken')
    expect(faults).toEqual(['wrong-purpose renewal-2/stamp.tsr'])
  })
})

describe('renewals that were tampered with', () => {
  const chain = () => {
    let view = sealed
    for (const number of [1, 2, 3]) view = renew(view, inDays(number * 100), { by: 'fit', number })
    return view
  }
  const at = () => inDays(400)

  test.each([1, 2, 3])('number %i, manifest or stamp taken away', (number) => {
    for (const path of Object.values(renewalFiles(number))) {
      const { renewal, faults } = examine(drop(chain(), path), { at: at() })
      expect(renewal).toBe('broken broken')
      expect(faults).toContain(`missing ${path}`)
    }
  })

  test('the first taken away as a whole', () => {
    const { manifest, stamp } = renewalFiles(1)
    const { renewal, faults } = examine(drop(drop(chain(), manifest), stamp), { at: at() })
    expect(renewal).toBe('broken broken')
    expect(faults).toContain(`missing ${manifest}`)
  })

  test('the last taken away as a whole leaves the others, which is what the bag then proves', () => {
    const { manifest, stamp } = renewalFiles(3)
    expect(examine(drop(drop(chain(), manifest), stamp), { at: at() }).renewal).toBe('holds renewed')
  })

  test('two in the other order of time', () => {
    const first = renew(sealed, inDays(200), { by: 'fit' })
    const { renewal, faults } = examine(renew(first, inDays(100), { by: 'fit', number: 2 }), { at: at() })
    expect(renewal).toBe('broken broken')
    expect(faults).toContain('in-the-future renewal-1/stamp.tsr')
  })

  test('a renewal of before the seal was stamped', () => {
    const { renewal, stamp } = examine(renew(sealed, inDays(-100), { by: 'fit' }), { at: at() })
    // The certificate of the authority was not valid then; the stamp of the seal is of a later day.
    expect(renewal).toBe('broken broken')
    expect(stamp).toBe('holds stamped')
  })

  test.each<[string, (text: string) => string, string]>([
    ['a line less', (text) => text.slice(text.indexOf('\n') + 1), 'extra'],
    ['a line more', (text) => `${text}${'0'.repeat(128)}  zebra.txt\n`, 'missing'],
    ['a digest of another file', (text) => text.replace(/^[0-9a-f]{8}/, '00000000'), 'changed'],
    ['upper case', (text) => text.toUpperCase().replaceAll(/ {2}.*/g, (path) => path.toLowerCase()), 'rewritten'],
    ['nothing', () => '', 'extra'],
    ['a path that leads out', (text) => `${text}${'0'.repeat(128)}  ../zebra.txt\n`, 'rewritten'],
  ])('a manifest with %s', (_, manifest, code) => {
    const { renewal, faults } = examine(renew(sealed, inDays(300), { by: 'fit', manifest }), { at: at() })
    expect(renewal).toBe('broken broken')
    expect(faults.map((fault) => fault.split(' ')[0])).toContain(code)
  })

  test('a file of the bag changed after the renewal', () => {
    const path = sealed.entries.find((entry) => entry.path.startsWith('data/'))?.path ?? ''
    const { renewal, faults } = examine(put(chain(), path, new Uint8Array([1])), { at: at() })
    expect(renewal).toBe('broken broken')
    expect(faults).toEqual([1, 2, 3].map(() => `changed ${path}`))
  })

  test.each(['renewal-1/more.txt', 'renewal-2/stamp.tsr.bak', 'renewal-1/deeper/stamp.tsr'])('%s added', (path) => {
    const view = put(renew(sealed, inDays(300), { by: 'fit' }), path, new Uint8Array([1]))
    const { renewal } = examine(view, { at: at() })
    expect(renewal).toBe('broken broken')
  })

  test.each([
    'renewal-0/stamp.tsr',
    'renewal-01/stamp.tsr',
    'renewal/stamp.tsr',
    'Renewal-1/stamp.tsr',
    'renewal--1/x',
  ])('%s added is no renewal, and a file that no list has', (path) => {
    const { parts } = examineSeal(put(sealed, path, new Uint8Array([1])), {
      ...{ trust: scene.trust, policy },
      at: at(),
    }).examination
    const structure = parts.find(({ part }) => part === 'structure')
    expect(structure?.faults.map(({ code, file }) => `${code} ${file}`)).toContain(`uncovered ${path}`)
  })

  test.each(['4', '1000000', '999999999', '9007199254740993', '9'.repeat(40), '9'.repeat(200), '9'.repeat(400)])(
    'a folder of the number %s keeps nobody busy',
    (number) => {
      const started = performance.now()
      const { renewal, faults } = examine(put(chain(), `renewal-${number}/x`, new Uint8Array([1])), { at: at() })
      expect(performance.now() - started).toBeLessThan(5_000)
      expect(renewal).toBe('broken broken')
      expect(faults.length).toBeGreaterThan(0)
    },
  )

  test('as many folders or files as a bag may have keep nobody busy, and none is passed over', {
    timeout: 60_000,
  }, () => {
    const many = (name: (index: number) => string): BagView => ({
      ...sealed,
      entries: [
        ...sealed.entries,
        ...Array.from({ length: 200_000 }, (_, index) => ({ path: name(index + 1), bytes: 0, digests: {} })),
      ],
    })
    for (const view of [many((index) => `renewal-${index}/x`), many((index) => `renewal-1/${index}`)]) {
      const { renewal, faults } = examine(view, { at: at() })
      expect(renewal).toBe('broken broken')
      expect(faults.length).toBeGreaterThan(200_000)
    }
  })
})
