import { describe, expect, test } from 'vitest'
import {
  isNarrowed,
  orderOf,
  readQueueAddress,
  turnOrder,
  writeQueueAddress,
} from '../../../src/desk/page/logic/queue-address.ts'

describe('the address of the queue', () => {
  test.each([
    ['', {}],
    ['?words=+kestova+&verdict=fail', { words: 'kestova', verdict: 'fail' }],
    ['state=in-review&assigned=nobody&held=true', { state: 'in-review', assigned: 'nobody', held: true }],
    ['?order=shop&down=true', { order: 'shop', down: true }],
    ['?down=false', { down: false }],
    ['?verdict=maybe&state=gone&order=size&held=perhaps&down=yes', {}],
  ])('%s', (search, query) => {
    expect(readQueueAddress(search)).toEqual(query)
  })

  test('what is written is read again, in one order', () => {
    const query = { words: 'Q&A 50%', shop: 'Möbius & Söhne', held: true, order: 'verdict', down: false } as const
    expect(readQueueAddress(writeQueueAddress(query))).toEqual(query)
    expect(writeQueueAddress({ shop: 'a', words: 'b' })).toBe(writeQueueAddress({ words: 'b', shop: 'a' }))
    expect(writeQueueAddress({ words: '', shop: undefined } as never)).toBe('')
  })

  test('a column that is chosen again turns round; the newest come first', () => {
    expect(orderOf({})).toEqual({ order: 'received', down: true })
    expect(turnOrder({}, 'received')).toMatchObject({ order: 'received', down: false })
    expect(turnOrder({}, 'name')).toMatchObject({ order: 'name', down: false })
    expect(turnOrder(turnOrder({ words: 'x' }, 'name'), 'name')).toEqual({ words: 'x', order: 'name', down: true })
  })

  test('order is no filter', () => {
    expect(isNarrowed({ order: 'shop', down: true })).toBe(false)
    expect(isNarrowed({ held: true })).toBe(true)
  })
})
