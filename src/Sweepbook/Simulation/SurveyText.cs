// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Sweepbook.Files;
using Sweepbook.Quantities;

namespace Sweepbook.Simulation;

/// <summary>The <c>survey.toml</c> of a plan, as a careful person would have written it.</summary>
internal sealed partial class SurveyText
{
    private readonly StringBuilder _text = new();

    private SurveyText()
    {
    }

    public static string For(PlannedSurvey plan)
    {
        var writer = new SurveyText();
        writer.Write(plan);
        return writer._text.ToString();
    }

    private void Write(PlannedSurvey plan)
    {
        Line($"# An invented survey: Sweepbook's simulation made these takes from a plan. Nobody measured this room.");
        Line($"format = 1");
        Line($"title  = {TomlText.Quoted(plan.Title)}");
        if (plan.Date is { } date) Line($"date   = {date:yyyy-MM-dd}");

        var room = plan.Room.Room;
        Line($"\n[room]");
        Line($"length_m = {room.LengthMetres}");
        Line($"width_m  = {room.WidthMetres}");
        Line($"height_m = {room.HeightMetres}");
        Line($"temperature_c = {plan.TemperatureCelsius}");
        if (plan.Processor is { } processor)
        {
            Line($"\n[processor]");
            Line($"delay_step_ms = {processor.DelayStepMs}");
            Line($"delay_max_ms  = {processor.DelayMaxMs}");
            Line($"gain_step_db  = {processor.GainStepDb}");
            Line($"filter_bands  = {processor.FilterBands}");
        }
        Line($"\n[[stimulus]]");
        Line($"id = {TomlText.Quoted(plan.StimulusId)}");
        Line($"file = {TomlText.Quoted($"stimuli/{plan.StimulusId}.toml")}");
        foreach (var microphone in plan.Microphones) Microphone(plan, microphone);
        Boxes(plan);
        foreach (var source in plan.Sources)
        {
            Line($"\n[[source]]");
            Line($"id = {TomlText.Quoted(source.Id)}");
            Line($"kind = {TomlText.Quoted(source.Kind)}");
            if (source.Radiator is { } radiator) Radiator(radiator);
            if (source.Radiator is not { Kind: not BoxPart.Whole }) Line($"position_m = {Place(source.Place)}");
        }
        foreach (var seat in plan.Seats.Where(seat => seat.Field != PlannedField.Near))
        {
            Line($"\n[[seat]]");
            Line($"id = {TomlText.Quoted(seat.Id)}");
            Line($"position_m = {Place(seat.Place)}");
            if (seat.Weight is { } weight) Line($"weight = {weight}");
        }
        Calibrators(plan);
        Takes(plan);
    }

    private static string Place(Position place) => string.Create(CultureInfo.InvariantCulture, $"[{Number(place.XMetres)}, {Number(place.YMetres)}, {Number(place.ZMetres)}]");

    private static string Number(double value) => value.ToString("0.0########", CultureInfo.InvariantCulture);

    private void Line(FormattableString line)
    {
        var arguments = line.GetArguments().Select(argument => argument is double number ? Number(number) : argument).ToArray();
        _text.AppendFormat(CultureInfo.InvariantCulture, line.Format, arguments).Append('\n');
    }
}
