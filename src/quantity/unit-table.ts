/**
 * The units of the trade, as data. Factors are exact and lead to the dimension's base unit, which is the first column's note.
 *
 * Source of the factors: NIST SP 811 (2008), B.8 and its definitions: inch 0.0254 m, pound 0.45359237 kg, standard gravity 9.80665 m/s²,
 * US gallon 231 in³, imperial gallon 4.54609 L, all exact; so pound-force, pound-force inch and psi are exact products.
 * The radian is 180°/π, with π to 28 digits. The nautical mile is 1852 m, the mile 5280 ft, the grain 1/7000 lb (SP 811, B.8), all exact.
 * The conventional inHg, mmHg, inH2O and mmH2O are the printed values of SP 811 B.8, taken as they stand.
 */
export const dimensions = [
  'length', // m
  'area', // m²
  'volume', // m³
  'flow', // m³/s
  'mass-flow', // kg/s
  'count-rate', // 1/s
  'speed', // m/s
  'angle', // degree, because a radian is no rational number of them
  'turns', // turn
  'rotation', // 1/min
  'force', // N
  'torque', // N·m
  'mass', // kg
  'mass-moment', // kg·m, weight times arm
  'areal-mass', // kg/m²
  'density', // kg/m³
  'pressure', // Pa, as a gauge shows it or as a difference
  'absolute-pressure', // Pa, from a vacuum
  'temperature', // K
  'temperature-difference', // K
  'temperature-time', // K·s
  'temperature-rate', // K/s
  'time', // s
  'frequency', // 1/s
  'power', // W
  'voltage', // V
  'current', // A
  'charge', // A·s
  'resistance', // Ω
  'percent', // 1: toBase(2 %) is 1/50
  'count', // 1
] as const;

export type Dimension = (typeof dimensions)[number];

/** Name as printed, factor to the base unit as an exact fraction, the unit of the other system, other spellings. */
export interface UnitRow {
  readonly name: string;
  readonly factor: string;
  readonly other?: string;
  /** Separated by spaces; a `·` inside stands for any of space, hyphen, dot. Case matters only where two units differ by it alone. */
  readonly also?: string;
  /** Added after the factor: temperatures only. */
  readonly offset?: string;
}

const row = (name: string, factor: string, other?: string, also?: string, offset?: string): UnitRow => ({
  name,
  factor,
  ...(other === undefined ? {} : { other }),
  ...(also === undefined ? {} : { also }),
  ...(offset === undefined ? {} : { offset }),
});

const inch = '127/5000';
const lbf = '8896443230521/2000000000000'; // 0.45359237 × 9.80665
const usGallon = '473176473/125000000000'; // 231 × 0.0254³
const impGallon = '454609/100000000';

const radian = '180000000000000000000000000000/3141592653589793238462643383'; // 180/π, π to 28 digits

const times = (a: string, by: string): string => `${a}*${by}`;

export const unitTable: Readonly<Record<Dimension, readonly UnitRow[]>> = {
  length: [
    row('mm', '1/1000', 'in', 'millimeter millimeters millimetre millimetres'),
    row('cm', '1/100', 'in', 'centimeter centimeters centimetre centimetres'),
    row('m', '1', 'ft', 'meter meters metre metres'),
    row('µm', '1/1000000', 'thou', 'um micron microns micrometer micrometers micrometre micrometres'),
    row('km', '1000', 'mi', 'kilometer kilometers kilometre kilometres'),
    row('in', inch, 'mm', `inch inches " ″ ''`),
    row('ft', '381/1250', 'm', "foot feet ' ′"),
    row('yd', '1143/1250', 'm', 'yard yards'),
    row('mi', '201168/125', 'km', 'mile miles'),
    row('NM', '1852', 'km', 'nmi nautical·mile nautical·miles'),
    row('thou', times(inch, '1/1000'), 'µm', 'mil mils'),
  ],
  area: [
    row('mm²', '1/1000000', 'in²', 'mm2 mm^2 sq·mm'),
    row('cm²', '1/10000', 'in²', 'cm2 cm^2 sq·cm'),
    row('m²', '1', 'ft²', 'm2 m^2 sq·m'),
    row('in²', times(inch, inch), 'cm²', 'in2 in^2 sq·in sq·inch square·inches'),
    row('ft²', times('381/1250', '381/1250'), 'm²', 'ft2 ft^2 sq·ft square·feet'),
  ],
  volume: [
    row('mL', '1/1000000', 'US fl oz', 'ml milliliter milliliters millilitre millilitres'),
    row('L', '1/1000', 'US gal', 'l liter liters litre litres'),
    row('cm³', '1/1000000', 'in³', 'cm3 cm^3 cc ccm'),
    row('m³', '1', 'ft³', 'm3 m^3'),
    row('US gal', usGallon, 'L', 'US·gallon US·gallons USG gal·US gallon·US gallons·US U.S.·gal U.S.·gallons'),
    row('US qt', times(usGallon, '1/4'), 'L', 'US·quart US·quarts qt·US'),
    row('US pt', times(usGallon, '1/8'), 'mL', 'US·pint US·pints pt·US'),
    row('US fl oz', times(usGallon, '1/128'), 'mL', 'US·fluid·ounce US·fluid·ounces fl·oz·US'),
    row(
      'imp gal',
      impGallon,
      'L',
      'imperial·gallon imperial·gallons imperial·gal imp·gallon imp·gallons gal·imp UK·gal',
    ),
    row('imp qt', times(impGallon, '1/4'), 'L', 'imperial·quart imperial·quarts qt·imp'),
    row('imp pt', times(impGallon, '1/8'), 'mL', 'imperial·pint imperial·pints pt·imp'),
    row('imp fl oz', times(impGallon, '1/160'), 'mL', 'imperial·fluid·ounce imperial·fluid·ounces fl·oz·imp'),
    row('in³', '2048383/125000000000', 'cm³', 'in3 in^3 cu·in cubic·inch cubic·inches'),
    row('ft³', '55306341/1953125000', 'L', 'ft3 ft^3 cu·ft cubic·foot cubic·feet'),
  ],
  flow: [
    row('L/h', '1/3600000', 'US gal/h', 'l/h L/hr l/hr L/hour litres/hour liters/hour lph LPH'),
    row('L/min', '1/60000', 'US gal/min', 'l/min L/minute litres/minute liters/minute lpm LPM'),
    row('L/s', '1/1000', 'US gal/min', 'l/s'),
    row('mL/min', '1/60000000', 'US gal/h', 'ml/min cc/min'),
    row('mL/s', '1/1000000', 'US gal/h', 'ml/s cc/s'),
    row('US gal/h', times(usGallon, '1/3600'), 'L/h', 'US·gal/hr US·gal/hour US·gph gph·US'),
    row('US gal/min', times(usGallon, '1/60'), 'L/min', 'US·gpm US·gal/minute gpm·US'),
    row('imp gal/h', times(impGallon, '1/3600'), 'L/h', 'imp·gal/hr imp·gal/hour imp·gph gph·imp'),
    row('imp gal/min', times(impGallon, '1/60'), 'L/min', 'imp·gpm imp·gal/minute gpm·imp'),
  ],
  'mass-flow': [
    row('kg/h', '1/3600', 'lb/h', 'kg/hr kg/hour'),
    row('kg/min', '1/60', 'lb/min', 'kg/minute'),
    row('g/s', '1/1000', 'lb/min', 'g/sec'),
    row('g/min', '1/60000', 'lb/h', 'g/minute'),
    row('lb/h', '45359237/100000000/3600', 'kg/h', 'lb/hr lb/hour lbs/h lbs/hr lbs/hour pph'),
    row('lb/min', '45359237/100000000/60', 'kg/min', 'lb/minute lbs/min lbs/minute'),
  ],
  'count-rate': [
    row('drops/min', '1/60', undefined, 'drop/min drops/minute'),
    row('drops/h', '1/3600', undefined, 'drop/h drops/hr drops/hour'),
  ],
  speed: [
    row('mm/h', '1/3600000', 'in/h', 'mm/hr mm/hour'),
    row('mm/min', '1/60000', 'in/min', 'mm/minute'),
    row('mm/s', '1/1000', 'in/min', 'mm/sec'),
    row('m/s', '1', 'ft/min', 'm/sec'),
    row('in/h', times(inch, '1/3600'), 'mm/h', 'in/hr in/hour'),
    row('in/min', times(inch, '1/60'), 'mm/min', 'in/minute ipm'),
    row('ft/min', times('381/1250', '1/60'), 'm/s', 'ft/minute fpm'),
    row('ft/s', '381/1250', 'm/s', 'ft/sec'),
    row('km/h', '5/18', 'kt', 'kph km/hr'),
    row('kt', '463/900', 'km/h', 'kts knot knots'),
    row('mph', times('381/1250', '22/15'), 'km/h', 'mi/h'),
  ],
  angle: [
    row('°', '1', undefined, 'deg degs degree degrees'),
    row('′', '1/60', '°', "' arcmin arcminute arcminutes minutes·of·arc"),
    row('″', '1/3600', '°', "\" '' arcsec arcsecond arcseconds"),
    row('rad', radian, '°', 'radian radians'),
    row('mrad', times(radian, '1/1000'), '°', 'milliradian milliradians'),
  ],
  turns: [row('turns', '1', undefined, 'turn rev revs revolution revolutions')],
  rotation: [row('rpm', '1', undefined, '1/min rev/min min^-1 r/min')],
  force: [
    row('N', '1', 'lbf', 'newton newtons'),
    row('daN', '10', 'lbf', 'decanewton decanewtons'),
    row('kN', '1000', 'lbf', 'kilonewton kilonewtons'),
    row('lbf', lbf, 'N', 'lb lbs lb·f lbs·f pound pounds pound·force pounds·force #'),
    row('kgf', '196133/20000', 'lbf', 'kp kg·f kilopond kiloponds'),
  ],
  torque: [
    row('N·m', '1', 'in·lb', 'Nm newton·meter newton·meters newton·metre newton·metres m·N'),
    row('N·cm', '1/100', 'in·lb', 'Ncm'),
    row(
      'in·lb',
      times(lbf, inch),
      'N·m',
      'in·lbs in·lbf lb·in lbs·in lbf·in inlb inlbs inlbf lbin lbfin inch·lb inch·lbs inch·pound inch·pounds pound·inch pound·inches pounds·inch pound·force·inch "·lb "·lbs in·#',
    ),
    row(
      'ft·lb',
      times(lbf, '381/1250'),
      'N·m',
      "ft·lbs ft·lbf lb·ft lbs·ft lbf·ft ftlb ftlbs ftlbf lbft lbfft foot·lb foot·lbs foot·pound foot·pounds pound·foot pound·feet pounds·feet pound·force·foot '·lb '·lbs",
    ),
    row('daN·m', '10', 'in·lb', 'daNm decanewton·meter decanewton·meters decanewton·metre decanewton·metres'),
    row('in·oz', times(times(lbf, inch), '1/16'), 'N·cm', 'oz·in ozf·in in·ozf inch·ounce inch·ounces'),
    row('kgf·m', '196133/20000', 'ft·lb', 'kgfm kg·m kgm kp·m m·kg mkg m·kgf'),
    row('kgf·cm', '196133/2000000', 'in·lb', 'kgfcm kg·cm kgcm kp·cm cm·kgf'),
  ],
  mass: [
    row('g', '1/1000', 'oz', 'gram grams gramme grammes'),
    row('kg', '1', 'lb', 'kgs kilo kilos kilogram kilograms'),
    row('mg', '1/1000000', 'oz', 'milligram milligrams'),
    row('lb', '45359237/100000000', 'kg', 'lbs pound pounds lbm #'),
    row('oz', '45359237/1600000000', 'g', 'ounce ounces'),
    row('grain', '45359237/700000000000', 'g', 'grains'),
  ],
  'mass-moment': [
    row('kg·m', '1', 'lb·in', 'kgm m·kg'),
    row('kg·mm', '1/1000', 'lb·in', 'kgmm mm·kg'),
    row('kg·cm', '1/100', 'lb·in', 'kgcm cm·kg'),
    row('lb·in', times('45359237/100000000', inch), 'kg·m', 'in·lb in·lbs lbs·in lbin inlb pound·inch pound·inches'),
    row('lb·ft', times('45359237/100000000', '381/1250'), 'kg·m', 'ft·lb ft·lbs lbs·ft lbft ftlb'),
  ],
  'areal-mass': [
    row('g/m²', '1/1000', 'oz/yd²', 'g/m2 g/m^2 gsm'),
    row('kg/m²', '1', 'oz/yd²', 'kg/m2 kg/m^2'),
    row('oz/yd²', '45359237/1337803776', 'g/m²', 'oz/yd2 oz/yd^2 oz/sq·yd'),
  ],
  density: [
    row('kg/L', '1000', 'lb/US gal', 'kg/l kg/litre kg/liter'),
    row('g/cm³', '1000', 'lb/US gal', 'g/cm3 g/cm^3 g/cc g/mL g/ml'),
    row('kg/m³', '1', 'lb/US gal', 'kg/m3 kg/m^3'),
    row('lb/US gal', '45359237/100000000/473176473*125000000000', 'kg/L', 'lb/US·gallon lbs/US·gal'),
    row(
      'lb/ft³',
      '45359237/100000000/55306341*1953125000',
      'kg/m³',
      'lb/ft3 lb/ft^3 lb/cu·ft lbs/ft3 lbs/ft³ lbs/cu·ft pcf',
    ),
    row('lb/imp gal', '45359237/100000000/454609*100000000', 'kg/L', 'lb/imp·gallon lbs/imp·gal'),
  ],
  pressure: [
    row('Pa', '1', 'psi', 'pascal pascals'),
    row('hPa', '100', 'inHg', 'hectopascal hectopascals'),
    row('kPa', '1000', 'psi', 'kilopascal kilopascals'),
    row('MPa', '1000000', 'psi', 'megapascal megapascals'),
    row('GPa', '1000000000', 'psi', 'gigapascal gigapascals'),
    row('N/mm²', '1000000', 'psi', 'N/mm2 N/mm^2'),
    row('bar', '100000', 'psi', 'bars'),
    row('mbar', '100', 'inHg', 'mb millibar millibars'),
    row('psi', `${lbf}/127*5000/127*5000`, 'kPa', 'psig lb/in² lb/in2 lb/in^2 lbf/in² lbf/in2 lb/sq·in lbs/sq·in'),
    row('inHg', '3386389/1000', 'hPa', 'in·Hg "·Hg inch·Hg inches·Hg'),
    row('mmHg', '1333224/10000', 'psi', 'mm·Hg torr'),
    row('inH₂O', '2490889/10000', 'Pa', 'inH2O in·H2O in·H₂O "·H2O inch·H2O inches·H2O in·wg inWC in·WC in·water'),
    row('mmH₂O', '980665/100000', 'inH₂O', 'mmH2O mm·H2O mm·H₂O mmWC mm·WC mm·water'),
    row('atm', '101325', 'psi', 'atmosphere atmospheres'),
  ],
  'absolute-pressure': [
    row('psia', `${lbf}/127*5000/127*5000`, 'kPa abs', 'psi·abs psi·absolute'),
    row('kPa abs', '1000', 'psia', 'kPa·absolute kPa(abs) kPa·(abs)'),
    row('hPa abs', '100', 'inHg abs', 'hPa·absolute hPa(abs) hPa·(abs)'),
    row('bar abs', '100000', 'psia', 'bara bar·absolute bar(abs) bar·(abs)'),
    row('inHg abs', '3386389/1000', 'hPa abs', 'inHg·absolute inHg(abs) inHg·(abs) in·Hg·abs'),
  ],
  temperature: [
    row('°C', '1', '°F', 'C deg·C degC degree·C degrees·C celsius degrees·celsius', '27315/100'),
    row('°F', '5/9', '°C', 'F deg·F degF degree·F degrees·F fahrenheit degrees·fahrenheit', '45967/180'),
    row('K', '1', '°C', 'kelvin kelvins', '0'),
  ],
  'temperature-difference': [
    row('°C', '1', '°F', 'C deg·C degC degree·C degrees·C celsius degrees·celsius Δ°C'),
    row('°F', '5/9', '°C', 'F deg·F degF degree·F degrees·F fahrenheit degrees·fahrenheit Δ°F'),
    row('K', '1', '°F', 'kelvin kelvins'),
  ],
  'temperature-time': [
    row('°C·h', '3600', '°F·h', 'C·h degC·h °Ch'),
    row('°C·d', '86400', '°F·h', 'C·d degC·d °C·day °C·days'),
    row('°F·h', '2000', '°C·h', 'F·h degF·h'),
  ],
  'temperature-rate': [
    row('°C/min', '1/60', '°F/min', 'C/min K/min degC/min °C/minute'),
    row('°C/h', '1/3600', '°F/h', 'C/h K/h degC/h °C/hr °C/hour'),
    row('°F/min', '1/108', '°C/min', 'F/min degF/min °F/minute'),
    row('°F/h', '1/6480', '°C/h', 'F/h degF/h °F/hr °F/hour'),
  ],
  time: [
    row('ms', '1/1000', undefined, 'millisecond milliseconds'),
    row('s', '1', undefined, 'sec secs second seconds'),
    row('min', '60', undefined, 'mins minute minutes m'),
    row('h', '3600', undefined, 'hr hrs hour hours'),
    row('d', '86400', undefined, 'day days'),
    row('wk', '604800', undefined, 'week weeks'),
  ],
  power: [
    row('W', '1', 'hp', 'watt watts'),
    row('kW', '1000', 'hp', 'kilowatt kilowatts'),
    row('hp', times(times(lbf, '381/1250'), '550'), 'kW', 'horsepower bhp'),
  ],
  frequency: [
    row('Hz', '1', undefined, 'hertz'),
    row('kHz', '1000', undefined, 'kilohertz'),
    row('MHz', '1000000', undefined, 'megahertz'),
  ],
  voltage: [
    row('V', '1', undefined, 'volt volts'),
    row('mV', '1/1000', undefined, 'millivolt millivolts'),
    row('kV', '1000', undefined, 'kilovolt kilovolts'),
  ],
  current: [
    row('A', '1', undefined, 'amp amps ampere amperes'),
    row('mA', '1/1000', undefined, 'milliamp milliamps milliampere milliamperes'),
    row('µA', '1/1000000', undefined, 'uA microamp microamps microampere microamperes'),
  ],
  charge: [
    row('Ah', '3600', undefined, 'A·h amp·hour amp·hours ampere·hour ampere·hours'),
    row('mAh', '18/5', undefined, 'mA·h milliamp·hour milliamp·hours'),
  ],
  resistance: [
    row('Ω', '1', undefined, 'ohm ohms'),
    row('mΩ', '1/1000', undefined, 'mohm milliohm milliohms'),
    row('µΩ', '1/1000000', undefined, 'uohm microohm microohms'),
    row('kΩ', '1000', undefined, 'kohm kiloohm kiloohms'),
    row('MΩ', '1000000', undefined, 'Mohm megaohm megaohms megohm megohms'),
  ],
  percent: [row('%', '1/100', undefined, 'percent per·cent pct %·RH %RH')],
  count: [row('count', '1', undefined, 'ea each pc pcs piece pieces thread threads')],
};

/** Spellings that name two different units: what must be written instead. */
export const ambiguousUnits: Readonly<Record<string, readonly [string, string]>> = {
  gal: ['US gal', 'imp gal'],
  gals: ['US gal', 'imp gal'],
  gallon: ['US gal', 'imp gal'],
  gallons: ['US gal', 'imp gal'],
  qt: ['US qt', 'imp qt'],
  quart: ['US qt', 'imp qt'],
  quarts: ['US qt', 'imp qt'],
  pt: ['US pt', 'imp pt'],
  pint: ['US pt', 'imp pt'],
  pints: ['US pt', 'imp pt'],
  'fl·oz': ['US fl oz', 'imp fl oz'],
  floz: ['US fl oz', 'imp fl oz'],
  gph: ['US gal/h', 'imp gal/h'],
  'gal/h': ['US gal/h', 'imp gal/h'],
  'gal/hr': ['US gal/h', 'imp gal/h'],
  gpm: ['US gal/min', 'imp gal/min'],
  'gal/min': ['US gal/min', 'imp gal/min'],
  'lb/gal': ['lb/US gal', 'lb/imp gal'],
  gr: ['g', 'grain'],
};
