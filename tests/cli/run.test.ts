/** Colour, width and what goes where, on terminals that are made up. */
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { startProgress } from '../../cli/progress.ts'
import { run } from '../../cli/run.ts'
import { chooseWidth, type Terminal, wantsColor } from '../../cli/terminal.ts'
import { root } from '../source-file.ts'

interface Screen extends Terminal {
  printed: string
  told: string
}

function makeScreen(settings: Partial<Terminal> = {}): Screen {
  const screen: Screen = {
    printed: '',
    told: '',
    async print(text) {
      screen.printed += text
    },
    tell(text) {
      screen.told += text
    },
    environment: {},
    output: { isTerminal: false, columns: undefined },
    errorsAreShown: false,
    today: () => '2026-11-25',
    ...settings,
  }
  return screen
}

const shown = { isTerminal: true, columns: 100 }

describe('colour', () => {
  test.each([
    ['a pipe', {}, {}, false, false],
    ['a terminal', {}, {}, true, true],
    ['a terminal that knows none', {}, { TERM: 'dumb' }, true, false],
    ['NO_COLOR on a terminal', {}, { NO_COLOR: '1' }, true, false],
    ['an empty NO_COLOR (no-color.org: counts when not empty)', {}, { NO_COLOR: '' }, true, true],
    ['FORCE_COLOR into a pipe', {}, { FORCE_COLOR: '1' }, false, true],
    ['FORCE_COLOR=0 on a terminal', {}, { FORCE_COLOR: '0' }, true, false],
    ['NO_COLOR against FORCE_COLOR', {}, { NO_COLOR: '1', FORCE_COLOR: '1' }, true, false],
    ['--no-color against FORCE_COLOR', { 'no-color': true }, { FORCE_COLOR: '1' }, true, false],
    ['a file', { output: 'report.txt' }, { FORCE_COLOR: '1' }, true, false],
  ])('%s', (_, options, environment, isTerminal, expected) => {
    expect(wantsColor(options, makeScreen({ environment, output: { isTerminal, columns: 80 } }))).toBe(expected)
  })

  test('only repeats what the words say', async () => {
    const plain = makeScreen()
    const colored = makeScreen({ environment: { FORCE_COLOR: '1' } })
    await run(['rules', 'vin-agrees'], plain)
    await run(['rules', 'vin-agrees'], colored)
    expect(colored.printed).toContain('\u001b[1mvin-agrees\u001b[0m')
    expect(colored.printed.replaceAll(/\u001b\[[\d;]*m/g, '')).toBe(plain.printed)
  })
})

describe('width', () => {
  test.each([
    ['a pipe has 80 columns', {}, { isTerminal: false, columns: 200 }, 80],
    ['a terminal has its own', {}, shown, 100],
    ['a wide terminal is not filled', {}, { isTerminal: true, columns: 300 }, 120],
    ['a narrow terminal is overflowed', {}, { isTerminal: true, columns: 20 }, 40],
    ['the option counts more', { width: '90' }, shown, 90],
    ['a file has 80 columns', { output: 'a.txt' }, shown, 80],
  ])('%s', (_, options, output, expected) => {
    expect(chooseWidth(options, makeScreen({ output }))).toBe(expected)
  })
})

describe('progress', () => {
  test('is shown on a terminal, when work takes long, and wiped away', () => {
    let now = 0
    const screen = makeScreen({ errorsAreShown: true })
    const progress = startProgress(screen, () => now)
    progress.show(1, 9, 'a.pdf')
    expect(screen.told).toBe('')
    now = 1500
    progress.show(2, 9, 'evil\u001b[2J.pdf')
    progress.end()
    expect(screen.told).toBe('\r\u001b[2K2 of 9 files read: evil<U+001B>[2J.pdf\r\u001b[2K')
  })

  test('is not shown elsewhere', () => {
    let now = 0
    const screen = makeScreen()
    const progress = startProgress(screen, () => now)
    now = 60_000
    progress.show(1, 9, 'a.pdf')
    progress.end()
    expect(screen.told).toBe('')
  })
})

describe('mistakes', () => {
  test('a name cannot steer the terminal', async () => {
    const screen = makeScreen()
    expect(await run(['check', '/no/\u001b]0;owned\u0007\u202Efdp.exe'], screen)).toBe(2)
    expect(screen.told).toContain('/no/<U+001B>]0;owned<U+0007><U+202E>fdp.exe does not exist')
    expect(screen.printed).toBe('')
  })

  test('an option named like a property of every object is unknown', async () => {
    const screen = makeScreen()
    expect(await run(['check', 'x', '--constructor'], screen)).toBe(2)
    expect(await run(['check', 'x', '--__proto__'], screen)).toBe(2)
    expect(screen.told).toContain('there is no option --constructor')
    expect(screen.told).toContain('there is no option --__proto__')
  })

  test('the day of review is today when none is named', { timeout: 300_000 }, async () => {
    const screen = makeScreen({ today: () => '2001-02-03' })
    await run(['check', '--json', join(root, 'tests/packets/a/p01/files')], screen)
    const report = JSON.parse(screen.printed) as { reviewed: string; verdict: string }
    expect(report).toMatchObject({ reviewed: '2001-02-03', verdict: 'fail' })
  })
})
