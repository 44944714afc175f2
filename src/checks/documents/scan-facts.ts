/** Two scans compared as facts: modules and their states, codes and their statuses, and what changes from scan to scan. */
import type { CodeReading, DocumentFacts, ModuleReading } from '../../facts/document.ts'

export interface ScanComparison {
  /** What was found on the vehicle is the same: modules, states, codes, statuses. */
  sameState: boolean
  /** What was found and differs, in words: "Front radar: fault and no fault". */
  states: string[]
  /** Modules or codes were read in both. */
  wasFound: boolean
  hasCodes: boolean
  sameVolts: boolean
  /** Values that both state and that differ, as read: "13.2 and 13.4 V". */
  differing: string[]
  /** Both state the same minute or second; days alone are no moment. */
  sameMoment: boolean
  /** The same second. */
  sameSecond: boolean
}

/** `before` and `after` may stand in either order. */
export function compareScans(before: DocumentFacts, after: DocumentFacts): ScanComparison {
  const [modules, codes] = [
    [before, after].map((scan) => listed(scan.modules, describeModule)),
    [before, after].map((scan) => listed(scan.codes, describeCode)),
  ]
  const [x, y] = [before.date, after.date]
  const sameMoment = isMoment(before) && isMoment(after) && x?.local === y?.local && x?.offset === y?.offset
  return {
    sameState: modules[0] === modules[1] && codes[0] === codes[1],
    states: [...compareModules(before, after), ...compareCodes(before, after)],
    wasFound: [before, after].every(({ modules = [], codes = [] }) => modules.length + codes.length > 0),
    hasCodes: (before.codes ?? []).length > 0,
    sameVolts: before.batteryVolts !== undefined && before.batteryVolts === after.batteryVolts,
    differing: listDiffering(before, after),
    sameMoment,
    sameSecond: sameMoment && x?.local?.length === 19,
  }
}

function listDiffering(before: DocumentFacts, after: DocumentFacts): string[] {
  const pairs = [
    [before.odometer?.value, after.odometer?.value, before.odometer?.unit ?? ''],
    [before.batteryVolts, after.batteryVolts, 'V'],
  ] as const
  const values = pairs.flatMap(([a, b, unit]) =>
    a === undefined || b === undefined || a === b ? [] : [`${a} and ${b} ${unit}`.trim()],
  )
  const [x, y] = [before.instrument?.serial, after.instrument?.serial]
  const isOther = x !== undefined && y !== undefined && !plain(x).endsWith(plain(y)) && !plain(y).endsWith(plain(x))
  return isOther ? [...values, `instruments ${x} and ${y}`] : values
}

function compareModules({ modules = [] }: DocumentFacts, after: DocumentFacts): string[] {
  return modules.flatMap(({ name, state }) => {
    const other = after.modules?.find((module) => plain(module.name) === plain(name))
    return other === undefined || other.state === state
      ? []
      : [`${name}: ${inWords(state)} and ${inWords(other.state)}`]
  })
}

function compareCodes({ codes = [] }: DocumentFacts, { codes: others = [] }: DocumentFacts): string[] {
  const only = (some: readonly CodeReading[], rest: readonly CodeReading[], where: string) =>
    some
      .filter((code) => !rest.some((other) => describeCode(other) === describeCode(code)))
      .map(
        ({ code, failureType, status }) =>
          `${code}${failureType === null ? '' : `-${failureType}`} ${status} in the ${where} alone`,
      )
  return [...only(codes, others, 'first'), ...only(others, codes, 'second')]
}

const inWords = (state: string): string => state.replace('-', ' ')

function isMoment({ date }: DocumentFacts): boolean {
  return (date?.local?.length ?? 0) >= 16
}

const plain = (text: string): string => text.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '')
const describeModule = ({ name, state }: ModuleReading): string => `${plain(name)} ${state}`
const describeCode = ({ code, failureType, status, module = '' }: CodeReading): string =>
  `${code} ${failureType} ${status} ${plain(module)}`

function listed<Item>(items: readonly Item[] | undefined, describe: (item: Item) => string): string {
  return (items ?? []).map(describe).toSorted().join('\n')
}
