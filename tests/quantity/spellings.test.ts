import { expect, test } from 'vitest';
import { unitTable, type Dimension } from '../../src/quantity/unit-table.ts';
import { ambiguousUnit, findUnit } from '../../src/quantity/units.ts';

/**
 * How people write each unit, besides its printed name. Procedures and journals hold what was typed: a spelling that is once read is read for
 * ever, as the same unit. So this list is apart from the table, and only grows.
 */
const spellings: readonly (readonly [Dimension, string, string])[] = [
  ['length', 'mm', 'millimeter millimeters millimetre millimetres'],
  ['length', 'cm', 'centimeter centimeters centimetre centimetres'],
  ['length', 'm', 'meter meters metre metres'],
  ['length', 'µm', 'um micron microns micrometer micrometers micrometre micrometres'],
  ['length', 'in', "inch inches \" ″ ''"],
  ['length', 'ft', "foot feet ' ′"],
  ['length', 'yd', 'yard yards'],
  ['length', 'thou', 'mil mils'],
  ['area', 'mm²', 'mm2 mm^2 sq·mm'],
  ['area', 'cm²', 'cm2 cm^2 sq·cm'],
  ['area', 'm²', 'm2 m^2 sq·m'],
  ['area', 'in²', 'in2 in^2 sq·in sq·inch square·inches'],
  ['area', 'ft²', 'ft2 ft^2 sq·ft square·feet'],
  ['volume', 'mL', 'ml milliliter milliliters millilitre millilitres'],
  ['volume', 'L', 'l liter liters litre litres'],
  ['volume', 'cm³', 'cm3 cm^3 cc ccm'],
  ['volume', 'm³', 'm3 m^3'],
  ['volume', 'US gal', 'US·gallon US·gallons USG gal·US gallon·US gallons·US U.S.·gal U.S.·gallons'],
  ['volume', 'US qt', 'US·quart US·quarts qt·US'],
  ['volume', 'US pt', 'US·pint US·pints pt·US'],
  ['volume', 'US fl oz', 'US·fluid·ounce US·fluid·ounces fl·oz·US'],
  ['volume', 'imp gal', 'imperial·gallon imperial·gallons imperial·gal imp·gallon imp·gallons gal·imp UK·gal'],
  ['volume', 'imp qt', 'imperial·quart imperial·quarts qt·imp'],
  ['volume', 'imp pt', 'imperial·pint imperial·pints pt·imp'],
  ['volume', 'imp fl oz', 'imperial·fluid·ounce imperial·fluid·ounces fl·oz·imp'],
  ['volume', 'in³', 'in3 in^3 cu·in cubic·inch cubic·inches'],
  ['volume', 'ft³', 'ft3 ft^3 cu·ft cubic·foot cubic·feet'],
  ['flow', 'L/h', 'l/h L/hr l/hr L/hour litres/hour liters/hour lph LPH'],
  ['flow', 'L/min', 'l/min L/minute litres/minute liters/minute lpm LPM'],
  ['flow', 'L/s', 'l/s'],
  ['flow', 'mL/min', 'ml/min cc/min'],
  ['flow', 'mL/s', 'ml/s cc/s'],
  ['flow', 'US gal/h', 'US·gal/hr US·gal/hour US·gph gph·US'],
  ['flow', 'US gal/min', 'US·gpm US·gal/minute gpm·US'],
  ['flow', 'imp gal/h', 'imp·gal/hr imp·gal/hour imp·gph gph·imp'],
  ['flow', 'imp gal/min', 'imp·gpm imp·gal/minute gpm·imp'],
  ['speed', 'mm/h', 'mm/hr mm/hour'],
  ['speed', 'mm/min', 'mm/minute'],
  ['speed', 'mm/s', 'mm/sec'],
  ['speed', 'm/s', 'm/sec'],
  ['speed', 'in/h', 'in/hr in/hour'],
  ['speed', 'in/min', 'in/minute ipm'],
  ['speed', 'ft/min', 'ft/minute fpm'],
  ['speed', 'ft/s', 'ft/sec'],
  ['speed', 'km/h', 'kph km/hr'],
  ['speed', 'kt', 'kts knot knots'],
  ['speed', 'mph', 'mi/h'],
  ['angle', '°', 'deg degs degree degrees'],
  ['angle', '′', "' arcmin arcminute arcminutes minutes·of·arc"],
  ['angle', '″', "\" '' arcsec arcsecond arcseconds"],
  ['turns', 'turns', 'turn rev revs revolution revolutions'],
  ['rotation', 'rpm', '1/min rev/min min^-1 r/min'],
  ['force', 'N', 'newton newtons'],
  ['force', 'daN', 'decanewton decanewtons'],
  ['force', 'kN', 'kilonewton kilonewtons'],
  ['force', 'lbf', 'lb lbs lb·f lbs·f pound pounds pound·force pounds·force #'],
  ['force', 'kgf', 'kp kg·f kilopond kiloponds'],
  ['torque', 'N·m', 'Nm newton·meter newton·meters newton·metre newton·metres m·N'],
  ['torque', 'N·cm', 'Ncm'],
  [
    'torque',
    'in·lb',
    'in·lbs in·lbf lb·in lbs·in lbf·in inlb inlbs inlbf lbin lbfin inch·lb inch·lbs inch·pound inch·pounds pound·inch pound·inches pounds·inch pound·force·inch "·lb "·lbs in·#',
  ],
  [
    'torque',
    'ft·lb',
    "ft·lbs ft·lbf lb·ft lbs·ft lbf·ft ftlb ftlbs ftlbf lbft lbfft foot·lb foot·lbs foot·pound foot·pounds pound·foot pound·feet pounds·feet pound·force·foot '·lb '·lbs",
  ],
  ['torque', 'in·oz', 'oz·in ozf·in in·ozf inch·ounce inch·ounces'],
  ['torque', 'kgf·m', 'kgfm kg·m kgm kp·m m·kg mkg m·kgf'],
  ['torque', 'kgf·cm', 'kgfcm kg·cm kgcm kp·cm cm·kgf'],
  ['mass', 'g', 'gr gram grams gramme grammes'],
  ['mass', 'kg', 'kgs kilo kilos kilogram kilograms'],
  ['mass', 'mg', 'milligram milligrams'],
  ['mass', 'lb', 'lbs pound pounds lbm #'],
  ['mass', 'oz', 'ounce ounces'],
  ['mass-moment', 'kg·m', 'kgm m·kg'],
  ['mass-moment', 'kg·mm', 'kgmm mm·kg'],
  ['mass-moment', 'kg·cm', 'kgcm cm·kg'],
  ['mass-moment', 'lb·in', 'in·lb in·lbs lbs·in lbin inlb pound·inch pound·inches'],
  ['mass-moment', 'lb·ft', 'ft·lb ft·lbs lbs·ft lbft ftlb'],
  ['areal-mass', 'g/m²', 'g/m2 g/m^2 gsm'],
  ['areal-mass', 'kg/m²', 'kg/m2 kg/m^2'],
  ['areal-mass', 'oz/yd²', 'oz/yd2 oz/yd^2 oz/sq·yd'],
  ['density', 'kg/L', 'kg/l kg/litre kg/liter'],
  ['density', 'g/cm³', 'g/cm3 g/cm^3 g/cc g/mL g/ml'],
  ['density', 'kg/m³', 'kg/m3 kg/m^3'],
  ['density', 'lb/US gal', 'lb/US·gallon lbs/US·gal'],
  ['density', 'lb/imp gal', 'lb/imp·gallon lbs/imp·gal'],
  ['pressure', 'Pa', 'pascal pascals'],
  ['pressure', 'hPa', 'hectopascal hectopascals'],
  ['pressure', 'kPa', 'kilopascal kilopascals'],
  ['pressure', 'MPa', 'megapascal megapascals'],
  ['pressure', 'bar', 'bars'],
  ['pressure', 'mbar', 'mb millibar millibars'],
  ['pressure', 'psi', 'psig lb/in² lb/in2 lb/in^2 lbf/in² lbf/in2 lb/sq·in lbs/sq·in'],
  ['pressure', 'inHg', 'in·Hg "·Hg inch·Hg inches·Hg'],
  ['pressure', 'mmHg', 'mm·Hg torr'],
  ['pressure', 'inH₂O', 'inH2O in·H2O in·H₂O "·H2O inch·H2O inches·H2O in·wg inWC in·WC in·water'],
  ['pressure', 'mmH₂O', 'mmH2O mm·H2O mm·H₂O mmWC mm·WC mm·water'],
  ['pressure', 'atm', 'atmosphere atmospheres'],
  ['temperature', '°C', 'C deg·C degC degree·C degrees·C celsius degrees·celsius'],
  ['temperature', '°F', 'F deg·F degF degree·F degrees·F fahrenheit degrees·fahrenheit'],
  ['temperature', 'K', 'kelvin kelvins'],
  ['temperature-difference', '°C', 'C deg·C degC degree·C degrees·C celsius degrees·celsius Δ°C'],
  ['temperature-difference', '°F', 'F deg·F degF degree·F degrees·F fahrenheit degrees·fahrenheit Δ°F'],
  ['temperature-difference', 'K', 'kelvin kelvins'],
  ['temperature-time', '°C·h', 'C·h degC·h °Ch'],
  ['temperature-time', '°C·d', 'C·d degC·d °C·day °C·days'],
  ['temperature-time', '°F·h', 'F·h degF·h'],
  ['time', 'ms', 'millisecond milliseconds'],
  ['time', 's', 'sec secs second seconds'],
  ['time', 'min', 'mins minute minutes m'],
  ['time', 'h', 'hr hrs hour hours'],
  ['time', 'd', 'day days'],
  ['time', 'wk', 'week weeks'],
  ['power', 'W', 'watt watts'],
  ['power', 'kW', 'kilowatt kilowatts'],
  ['power', 'hp', 'horsepower bhp'],
  ['voltage', 'V', 'volt volts'],
  ['voltage', 'mV', 'millivolt millivolts'],
  ['current', 'A', 'amp amps ampere amperes'],
  ['current', 'mA', 'milliamp milliamps'],
  ['resistance', 'Ω', 'ohm ohms'],
  ['resistance', 'mΩ', 'mohm milliohm milliohms'],
  ['resistance', 'kΩ', 'kohm kiloohm kiloohms'],
  ['percent', '%', 'percent per·cent pct %·RH %RH'],
  ['count', 'count', 'ea each pc pcs piece pieces thread threads'],
];

test.each(spellings)('%s: %s is also written %s', (dimension, name, also) => {
  for (const spelling of also.split(' '))
    expect([spelling, findUnit(spelling, dimension)?.name]).toEqual([spelling, name]);
});

test('every spelling of the table is in this list', () => {
  const listed = new Set(
    spellings.flatMap(([dimension, name, also]) => also.split(' ').map((one) => `${dimension} ${name} ${one}`)),
  );
  const rows = Object.entries(unitTable).flatMap(([dimension, units]) =>
    units.flatMap(({ name, also = '' }) =>
      also
        .split(' ')
        .filter(Boolean)
        .map((one) => `${dimension} ${name} ${one}`),
    ),
  );
  expect(rows.filter((row) => !listed.has(row))).toEqual([]);
});

test.each([
  ['gal', 'US gal', 'imp gal'],
  ['qt', 'US qt', 'imp qt'],
  ['pt', 'US pt', 'imp pt'],
  ['fl oz', 'US fl oz', 'imp fl oz'],
  ['gph', 'US gal/h', 'imp gal/h'],
  ['lb/gal', 'lb/US gal', 'lb/imp gal'],
])('%s may mean %s or %s', (spelling, one, other) => {
  expect(ambiguousUnit(spelling)).toEqual([one, other]);
});
