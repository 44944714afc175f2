/** The invented shop, its people and the vehicles of its four jobs. */

export const shop = {
  name: 'Mossgate Collision Center',
  street: '2210 County Road 14, Tarrow Creek',
  phone: '(555) 555-0142',
  registration: 'Repair facility no. TC-00731',
  latitude: 41.0472,
  longitude: -97.9316,
  zone: 'America/Chicago',
  /** Central daylight time: all four jobs fall into it. */
  offset: '-05:00',
  insurer: 'Quillwater Mutual',
} as const

export const people = {
  lead: 'Della Farrow',
  second: 'Owen Strick',
  quality: 'Ruth Amberley',
  writer: 'Ansel Rook',
} as const

export interface Vehicle {
  vin: string
  year: number
  make: string
  model: string
  plate: string
  colour: string
}

const values: Record<string, number> = {}
'ABCDEFGH'.split('').forEach((letter, index) => {
  values[letter] = index + 1
})
'JKLMN'.split('').forEach((letter, index) => {
  values[letter] = index + 1
})
Object.assign(values, { P: 7, R: 9 })
'STUVWXYZ'.split('').forEach((letter, index) => {
  values[letter] = index + 2
})
const weights = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2]

/** Puts the check digit of 49 CFR 565.15(c) into position 9 of a 17-character number. */
export function completeVin(draft: string): string {
  const sum = [...draft].reduce((total, sign, at) => total + (values[sign] ?? Number(sign)) * (weights[at] ?? 0), 0)
  const rest = sum % 11
  return draft.slice(0, 8) + (rest === 10 ? 'X' : String(rest)) + draft.slice(9)
}

export const vehicles = {
  ondine: {
    vin: completeVin('7XMTD4FE0PA207483'),
    year: 2023,
    make: 'Tessaly',
    model: 'Ondine',
    plate: '41-KR82',
    colour: 'slate blue',
  },
  sorrel: {
    vin: completeVin('7XRCB8HL0NS518264'),
    year: 2022,
    make: 'Orvane',
    model: 'Sorrel',
    plate: '27-DW05',
    colour: 'white',
  },
  brant: {
    vin: completeVin('7XKFA2GJ0MK330917'),
    year: 2021,
    make: 'Kestova',
    model: 'Brant',
    plate: '08-TN61',
    colour: 'graphite',
  },
  tarn: {
    vin: completeVin('7XBME6DV0RC104729'),
    year: 2024,
    make: 'Bellune',
    model: 'Tarn',
    plate: '33-HX19',
    colour: 'dark green',
  },
} as const satisfies Record<string, Vehicle>
