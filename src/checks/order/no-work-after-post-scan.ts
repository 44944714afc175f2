/**
 * Repairs, clearing of codes and wheel alignment against the post-scan; calibrations have a check of their own. One
 * post-scan that follows all of them suffices. What the report of a scan tells of itself is part of that scan, and work
 * that touches no part of the vehicle (washing, polishing) changes nothing that a scan would show.
 */
import type { PacketEvent } from '../../packet/packet.ts'
import type { Check } from '../check.ts'
import { listParameter } from '../parameters.ts'
import { bestOf, judgePrecedence, worstOf } from './precedence.ts'
import { nothingToCompare, outcomeOf, precedenceMessages } from './precedence-outcome.ts'

export const noWorkAfterPostScan: Check = {
  id: 'no-work-after-post-scan',
  group: 'order',
  claim: 'Nothing that changes the vehicle is dated after the last post-scan.',
  messages: {
    ...precedenceMessages,
    'no-post-scan': { state: 'undecided', text: 'The packet holds no post-scan.' },
    'no-work': {
      state: 'undecided',
      text: 'The packet tells of no repair, clearing of codes or wheel alignment with a time.',
    },
  },
  parameters: { harmless: 'Words of work, in lower case, that changes nothing which a scan would show.' },
  remedy: 'A scan of the whole vehicle after all work has ended, with date, time and zone.',
  suppliers: ['shop'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'releasing a vehicle in a state that nobody recorded',
  },
  collect: [],
  run(packet, parameters) {
    const scans = packet.events.filter((event) => event.kind === 'post-scan')
    if (scans.length === 0) return nothingToCompare('no-post-scan')
    const harmless = listParameter(parameters, 'harmless')
    const work = packet.events.filter(({ kind, label }) => {
      return kind === 'clearing' || kind === 'alignment' || (kind === 'repair' && !isHarmless(label, harmless))
    })
    const worst = scans.map((scan) => {
      const others = work.filter((event) => !isOwn(event, scan))
      return worstOf(others.map((event) => judgePrecedence(packet, event, scan)))
    })
    const best = bestOf(worst.filter((precedence) => precedence !== null))
    return best === null ? nothingToCompare('no-work') : [outcomeOf(best)]
  },
}

function isOwn(event: PacketEvent, scan: PacketEvent): boolean {
  return event.document !== null && event.document === scan.document
}

/** All that the repair names is harmless: "wash and polish", not "bumper fitted and polished". */
function isHarmless(label: string, harmless: readonly string[]): boolean {
  const words = label.toLowerCase().match(/\p{L}+/gu) ?? []
  const rest = words.filter((word) => !linking.has(word) && !harmless.includes(word))
  return words.length > 0 && rest.length === 0
}

const linking: ReadonlySet<string> = new Set([
  'and',
  'of',
  'the',
  'final',
  'full',
  'vehicle',
  'car',
  'exterior',
  'interior',
])
