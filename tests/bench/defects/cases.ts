/** Which packets a run makes: clean ones of both profiles, and for every kind of defect as many as are wanted. */
import { makeChance } from './chance.ts'
import type { Draft, Profile } from './draft.ts'
import type { Defect, Desk } from './injectors/defect.ts'
import { defects } from './injectors/index.ts'
import { makeDraft } from './story.ts'
import { disturb, touchedFiles } from './touched.ts'

/** A packet of the run, small enough to be sent to another thread. */
export interface Case {
  seed: number
  profile: Profile
  /** Names of the planted defects as `check/name`; none: a clean packet. */
  planted: string[]
}

export interface Order {
  seed: number
  /** Packets in all. */
  count: number
  /** Checks that exist; defects of others are left out. */
  checks: ReadonlySet<string>
  /** Only defects of this check, and no clean packets. */
  only?: string
  /** Clean packets alone. */
  clean?: boolean
}

export const nameOf = ({ check, name }: Defect): string => `${check}/${name}`

const byName = new Map(defects.map((defect) => [nameOf(defect), defect]))

/** How many packets are tried for one that has what a defect changes, or what two of them change apart. */
const mostTries = 400
const mostTriesForPairs = 25

/** The draft of a case with its defects in it, and the files that each is to be found in; null where one does not fit. */
export function plantCase({ seed, profile, planted }: Case): { draft: Draft; files: string[][] } | null {
  const draft = makeDraft(seed, profile)
  const chance = makeChance(seed + 17)
  const files: string[][] = []
  const touched: Set<string>[] = []
  for (const name of planted) {
    const before = planted.length > 1 ? structuredClone(draft) : draft
    const placed = byName.get(name)?.plant(draft, chance) ?? null
    if (placed === null) return null
    files.push(placed)
    if (planted.length > 1) touched.push(touchedFiles(before, draft, placed))
  }
  return disturb(touched) ? null : { draft, files }
}

/** The desk by whose rulebook a case is reviewed; undefined: the general one. */
export const deskOf = ({ planted }: Case): Desk | undefined =>
  planted.map((name) => defectOf(name).desk).find((desk) => desk !== undefined)

/** Seeds are dealt out one after another, so that no two packets of a run are alike. */
function dealer(seed: number) {
  let next = seed * 1_000_003
  return (planted: string[], profile: Profile): Case | null => {
    const most = planted.length > 1 ? mostTriesForPairs : mostTries
    for (let tries = 0; tries < most; tries++) {
      const one: Case = { seed: next++ % 2_000_000_011, profile, planted }
      if (planted.length === 0 || plantCase(one)) return one
    }
    return null
  }
}

/** The share of clean packets, of packets with two defects, and the rest, spread over all kinds of defect. */
const shares = { clean: 0.16, pairs: 0.1 }

/** In another order for every seed, so that a small run takes its kinds from all groups. */
function shuffle(kinds: readonly Defect[], seed: number): Defect[] {
  const chance = makeChance(seed + 3)
  return kinds
    .map((kind) => ({ kind, at: chance.even() }))
    .sort((a, b) => a.at - b.at)
    .map(({ kind }) => kind)
}

export function planCases(order: Order): Case[] {
  const deal = dealer(order.seed)
  const kinds = shuffle(
    defects.filter(({ check }) => order.checks.has(check) && (order.only === undefined || check === order.only)),
    order.seed,
  )
  const all = order.only === undefined
  const clean = order.clean ? order.count : all ? Math.max(4, Math.round(order.count * shares.clean)) : 0
  const pairs = all && !order.clean ? Math.round(order.count * shares.pairs) : 0
  const cases: (Case | null)[] = []
  for (let index = 0; index < clean; index++) cases.push(deal([], index % 3 === 2 ? 'ordinary' : 'complete'))
  const single = Math.max(0, order.count - clean - pairs)
  for (let index = 0; index < single; index++) {
    const kind = kinds[index % kinds.length]
    if (kind) cases.push(deal([nameOf(kind)], 'complete'))
  }
  const chance = makeChance(order.seed + 5)
  for (let made = 0, tries = 0; made < pairs && tries < 4 * pairs; tries++) {
    const [first, second] = [chance.pick(kinds), chance.pick(kinds)]
    // A desk may leave out a check that the other defect is for.
    if (first.check === second.check || first.desk !== second.desk) continue
    const one = deal([nameOf(first), nameOf(second)], 'complete')
    if (one) made++
    cases.push(one)
  }
  return cases.filter((one) => one !== null)
}

export const defectOf = (name: string): Defect => {
  const found = byName.get(name)
  if (!found) throw new Error(`no defect ${name}`)
  return found
}
