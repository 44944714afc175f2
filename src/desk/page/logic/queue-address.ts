/** The queue's filters and order as they stand in the page's address, so that a view can be kept and sent. */
import { type QueueOrder, type QueueQuery, queueOrders, type State, states } from '../../contract.ts'

const verdicts = ['fail', 'warn', 'pass', 'none'] as const

const among = <Name extends string>(names: readonly Name[], text: string | null): Name | undefined =>
  names.find((name) => name === text)

/** What stands in the query string (with or without `?`) and can be used; what cannot is left out. */
export function readQueueAddress(search: string): QueueQuery {
  const parameters = new URLSearchParams(search)
  const text = (name: string) => parameters.get(name)?.trim() || undefined
  const query: QueueQuery = {
    words: text('words'),
    verdict: among(verdicts, parameters.get('verdict')),
    state: among<State>(states, parameters.get('state')),
    assigned: text('assigned'),
    shop: text('shop'),
    held: parameters.get('held') === 'true' ? true : undefined,
    order: among<QueueOrder>(queueOrders, parameters.get('order')),
    down: among(['true', 'false'] as const, parameters.get('down')) === undefined ? undefined : text('down') === 'true',
  }
  return Object.fromEntries(Object.entries(query).filter(([, value]) => value !== undefined))
}

/** As a query string: empty, or beginning with `?`. Equal queries give equal strings. */
export function writeQueueAddress(query: QueueQuery): string {
  const entries = Object.entries(query).filter(([, value]) => value !== undefined && value !== '')
  entries.sort(([one], [other]) => (one < other ? -1 : 1))
  const text = new URLSearchParams(entries.map(([name, value]): [string, string] => [name, String(value)])).toString()
  return text === '' ? '' : `?${text}`
}

/** Whether a column is sorted downwards when it is first chosen: the newest first, and else as words are read. */
const startsDown = (order: QueueOrder): boolean => order === 'received'

/** How the queue is ordered, also where the address says nothing. */
export function orderOf({ order = 'received', down }: QueueQuery): { order: QueueOrder; down: boolean } {
  return { order, down: down ?? startsDown(order) }
}

/** Sorts by a column, or the other way round where it is sorted by it already. */
export function turnOrder(query: QueueQuery, order: QueueOrder): QueueQuery {
  const now = orderOf(query)
  return { ...query, order, down: now.order === order ? !now.down : startsDown(order) }
}

/** Whether anything is filtered out. */
export const isNarrowed = ({ words, verdict, state, assigned, shop, held }: QueueQuery): boolean =>
  [words, verdict, state, assigned, shop, held].some((value) => value !== undefined)
