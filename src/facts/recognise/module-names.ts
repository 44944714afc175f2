/** Which words beside a state or above codes can name a module, and which announce a list or label something else. */
import { findTroubleCodes } from '../trouble-code-text.ts'
import type { Vocabulary } from '../vocabulary.ts'
import { moduleStateOf } from './scan-states.ts'
import { bareName } from './sheet.ts'

/** Headings that announce a list and name no module. */
export function announcesList(text: string, vocabulary: Vocabulary): boolean {
  const tokens = vocabulary.tokens(bareName(text).replace(/\s*\(?\d+\)?$/, ''))
  if (tokens.length === 0) return true
  const listWords =
    /^(?:modules?|systems?|units?|controllers?|ecus?|codes?|dtcs?|faults?|faulty|errors?|entries|trouble|memory|list|listing|summary|details?|results?|report|scan|status|overview|with|without|no|in|of|the|and|by|all|control|found|stored|active|current|history|pending|confirmed|present|past|other|fault|diagnostic|read|responding|answered|per|system|module|unit|controller|ecu|code|dtc|stated|table|section|page|continued|vehicle|network|electronic)$/
  return tokens.every((token) => listWords.test(token))
}

/** Labels whose value reads like a module's state: "Result  OK". */
const NO_MODULE = new Set([
  'outcome',
  'progress',
  'codeCount',
  'moduleCount',
  'notes',
  'expiry',
  'documentNumber',
  'money',
  'method',
  'procedure',
  'calibrationData',
])

/** A name beside a state is a module, unless the words are a label of something else ("Ride height  OK"). */
export function canNameModule(name: string, vocabulary: Vocabulary): boolean {
  const bare = bareName(name)
  if (/\b(?:that|did|does|are|is|was|were|which|have|has|when|if|took|stood)\b/i.test(bare)) return false
  if (!/\p{L}{2}/u.test(bare) || bare.split(/\s+/).length > 8 || moduleStateOf(bare, vocabulary)) return false
  const tokens = vocabulary.tokens(bare)
  const entries = vocabulary.labels.whole(tokens)
  if (entries.some((entry) => NO_MODULE.has(entry.key))) return false
  if (entries.some((entry) => entry.key === 'preconditions') && tokens.length > 1) return false
  return !announcesList(bare, vocabulary) && findTroubleCodes(bare).length === 0
}
