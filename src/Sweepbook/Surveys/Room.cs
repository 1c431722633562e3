// SPDX-License-Identifier: MIT
namespace Sweepbook.Surveys;

/// <summary>The room as a box: with it the modes can be predicted.</summary>
/// <param name="LengthMetres">Along x, from 0.5 to 200 m.</param>
/// <param name="WidthMetres">Along y, from 0.5 to 200 m.</param>
/// <param name="HeightMetres">Along z, from 0.5 to 200 m.</param>
/// <param name="TemperatureCelsius">Air temperature, from −40 to 60 °C; 20 where the survey states none.</param>
/// <remarks>Misleads where the room is not a box: an open door or a slope moves the modes. Own convention (design, survey folder).</remarks>
public readonly record struct Room(double LengthMetres, double WidthMetres, double HeightMetres, double TemperatureCelsius);

/// <summary>What the user's processor can do; recommendations are computed on its grid.</summary>
/// <param name="DelayStepMs">Smallest delay step in milliseconds, or null where not stated.</param>
/// <param name="DelayMaxMs">Longest delay in milliseconds, or null.</param>
/// <param name="GainStepDb">Smallest gain step in decibels, or null.</param>
/// <param name="FilterBands">Number of filters, or null.</param>
public readonly record struct Processor(double? DelayStepMs, double? DelayMaxMs, double? GainStepDb, int? FilterBands);
