/** Lengths as a shop prints them. */
const kilometresPerMile = 1.609344

export const distanceIn = (miles: number, unit: 'mi' | 'km'): number =>
  unit === 'mi' ? miles : miles * kilometresPerMile

export const odometerText = (miles: number | null, unit: 'mi' | 'km'): string | null =>
  miles === null ? null : `${Math.round(distanceIn(miles, unit))} ${unit}`

export const money = (amount: number): string => amount.toFixed(2)

/** `12 min 36 s` */
export const spanText = (seconds: number): string =>
  `${Math.floor(seconds / 60)} min ${String(Math.round(seconds) % 60).padStart(2, '0')} s`
