/** What a file's name says that it is. */
import type { DocumentKind } from './document.ts'

const byName: readonly [RegExp, DocumentKind][] = [
  [/pre[-_ ]?(?:repair[-_ ]?)?scan|scan[-_ ]?(?:before|in\b|b4)/i, 'pre-scan'],
  [/post[-_ ]?(?:repair[-_ ]?)?scan|scan[-_ ]?(?:after|out\b)/i, 'post-scan'],
  [/scan|dtc|health[-_ ]?check/i, 'scan'],
  [/align|geometry|4[- _]?wheel|four[- _]?wheel/i, 'alignment'],
  [/calib|radar|camera|learn/i, 'calibration'],
  [/estimate|quote|\best\b/i, 'estimate'],
  [/invoice|bill\b|inv[-_ ]?\d/i, 'invoice'],
  [/drive|track|log/i, 'drive-log'],
]

/** The kind that the name of a file speaks of, whatever folder it lies in; undefined where it speaks of none. */
export function kindOfName(file: string): DocumentKind | undefined {
  const name = file.split('/').at(-1) ?? ''
  return byName.find(([form]) => form.test(name))?.[1]
}
