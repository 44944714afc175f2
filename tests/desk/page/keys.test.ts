import { describe, expect, test } from 'vitest'
import { actOf, type Focus, keyTable } from '../../../src/desk/page/logic/keys.ts'

const press = (key: string, focus: Focus, singleKeys = true, modifier = {}) =>
  actOf({ key, ctrlKey: false, metaKey: false, altKey: false, ...modifier }, focus, singleKeys)

describe('keys of the packet page', () => {
  test.each([
    ['j', 'elsewhere', 'next-finding'],
    ['j', 'control', 'next-finding'],
    ['j', 'field', null],
    ['ArrowDown', 'list', 'next-finding'],
    ['ArrowDown', 'elsewhere', null],
    ['Enter', 'list', 'to-evidence'],
    ['Enter', 'control', null],
    ['Escape', 'elsewhere', 'to-findings'],
    ['Escape', 'field', null],
    ['n', 'elsewhere', 'next-place'],
    ['?', 'list', 'help'],
    ['x', 'list', null],
  ] as const)('%s while the focus is in: %s', (key, focus, act) => {
    expect(press(key, focus)).toBe(act)
  })

  test('with a modifier they are somebody else’s', () => {
    for (const modifier of [{ ctrlKey: true }, { metaKey: true }, { altKey: true }])
      expect(press('n', 'elsewhere', true, modifier)).toBeNull()
  })

  // WCAG 2.2, success criterion 2.1.4.
  test('letters and signs can be switched off, and arrows stay', () => {
    const keys = keyTable.flatMap((row) => row.keys)
    const single = keys.filter((key) => key.length === 1)
    expect(single.length).toBeGreaterThan(6)
    for (const key of single) expect(press(key, 'list', false)).toBeNull()
    expect(press('ArrowUp', 'list', false)).toBe('previous-finding')
  })
})
