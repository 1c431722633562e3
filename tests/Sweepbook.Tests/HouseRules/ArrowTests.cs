// SPDX-License-Identifier: MIT
using System.Xml.Linq;
using Xunit;

namespace Sweepbook.Tests.HouseRules;

public sealed class ArrowTests
{
    private const string SampleRoot = "Sweepbook.Tests.HouseRules.Samples";
    private static readonly string Library = typeof(global::Sweepbook.Quantities.Decibels).Assembly.Location;
    private static readonly string Samples = typeof(ArrowTests).Assembly.Location;

    [Fact]
    public void The_library_draws_only_arrows_that_the_table_allows() =>
        Faults.None(ArrowTable.Forbidden(ArrowReader.Read(Library, "Sweepbook"), ArrowTable.Allowed));

    [Fact]
    public void Every_type_of_the_library_lives_in_a_folder_of_the_table()
    {
        Faults.None(ArrowReader.Homeless(Library, "Sweepbook"));
        Assert.All(PublicSurface.Folders(typeof(global::Sweepbook.Quantities.Decibels).Assembly, "Sweepbook"), folder => Assert.Contains(folder, ArrowTable.Allowed.Keys));
    }

    [Fact]
    public void A_real_arrow_taken_out_of_the_table_is_noticed()
    {
        var arrows = ArrowReader.Read(Library, "Sweepbook");
        var taken = arrows[0];
        var poorer = new Dictionary<string, IReadOnlySet<string>>(ArrowTable.Allowed) { [taken.From] = ArrowTable.Allowed[taken.From].Where(to => to != taken.To).ToHashSet() };
        Assert.StartsWith($"{taken.From} → {taken.To}: ", Assert.Single(ArrowTable.Forbidden(arrows, poorer)));
    }

    [Fact]
    public void A_folder_that_the_table_does_not_know_may_use_nothing() =>
        Assert.Equal(["Gadgets → Quantities: a sample"], ArrowTable.Forbidden([new("Gadgets", "Quantities", "a sample")], ArrowTable.Allowed));

    public static TheoryData<string> Ways => [.. typeof(ArrowTests).Assembly.GetTypes()
        .Select(type => type.Namespace ?? "")
        .Where(space => space.StartsWith(SampleRoot + ".By", StringComparison.Ordinal))
        .Select(space => space[(SampleRoot.Length + 1)..])
        .Distinct()
        .Order()];

    [Theory, MemberData(nameof(Ways))]
    public void A_forbidden_arrow_is_seen_whatever_way_it_is_drawn(string way) =>
        Assert.Contains(ArrowReader.Read(Samples, SampleRoot), arrow => arrow.From == way && arrow.To == "Target");

    [Fact]
    public void A_sample_that_uses_nobody_draws_no_arrow() =>
        Assert.DoesNotContain(ArrowReader.Read(Samples, SampleRoot), arrow => arrow.From == "Innocent");

    [Fact]
    public void Only_studies_and_the_simulation_know_what_a_survey_is()
    {
        Assert.Equal(["Simulation", "Studies"], ArrowTable.Allowed.Where(row => row.Value.Contains("Surveys")).Select(row => row.Key).Order());
        Assert.DoesNotContain(ArrowTable.Allowed, row => row.Value.Contains("Simulation"));
        Assert.DoesNotContain("Equalisation", ArrowTable.Allowed["Alignment"]);
    }

    [Fact]
    public void The_table_has_no_circle()
    {
        var left = ArrowTable.Allowed.ToDictionary(row => row.Key, row => row.Value.ToHashSet());
        while (left.FirstOrDefault(row => row.Value.Count == 0).Key is string leaf)
        {
            left.Remove(leaf);
            foreach (var targets in left.Values) targets.Remove(leaf);
        }
        Faults.None(left.Keys);
    }

    // Project → the projects and the packages it may name; packages that only the notebook side may know are in the last test.
    public static TheoryData<string, string[]> Projects => new()
    {
        { "Sweepbook", [] },
        { "Sweepbook.Bootstrap", [] },
        { "Sweepbook.Notebook", ["Sweepbook", "Sweepbook.Bootstrap"] },
        { "Sweepbook.Report", ["Sweepbook", "Sweepbook.Notebook"] },
        { "Sweepbook.Capture", ["Sweepbook"] },
        { "Sweepbook.Cli", ["Sweepbook", "Sweepbook.Bootstrap", "Sweepbook.Notebook", "Sweepbook.Report", "Sweepbook.Capture"] },
    };

    [Theory, MemberData(nameof(Projects))]
    public void A_project_refers_only_to_the_projects_it_may(string project, string[] allowed) =>
        Faults.None(References(project, "ProjectReference").Select(path => Path.GetFileNameWithoutExtension(path.Replace('\\', '/'))).Except(allowed));

    [Fact]
    public void Each_project_under_src_is_in_the_list_of_projects() =>
        Faults.None(Directory.GetDirectories(Repository.Path("src")).Select(Path.GetFileName).Except(Projects.Select(row => row.Data.Item1)));

    [Fact]
    public void Only_the_notebook_and_the_report_know_a_chart_library_or_the_kernel()
    {
        var knowing = Projects.Select(row => row.Data.Item1)
            .Where(project => References(project, "PackageReference").Any(NeedsTheKernel))
            .Concat(typeof(global::Sweepbook.Quantities.Decibels).Assembly.GetReferencedAssemblies().Where(name => NeedsTheKernel(name.Name!)).Select(_ => "Sweepbook"));
        Faults.None(knowing.Except(["Sweepbook.Notebook", "Sweepbook.Report"]));
        Assert.True(NeedsTheKernel("Plotly.NET.CSharp") && NeedsTheKernel("Microsoft.DotNet.Interactive") && !NeedsTheKernel("Tomlyn"));
    }

    private static bool NeedsTheKernel(string package) =>
        package.StartsWith("Plotly", StringComparison.Ordinal) || package.StartsWith("Microsoft.DotNet.Interactive", StringComparison.Ordinal);

    private static IEnumerable<string> References(string project, string kind)
    {
        var file = Repository.Path("src", project, project + ".csproj");
        return File.Exists(file) ? XDocument.Load(file).Descendants(kind).Select(element => element.Attribute("Include")!.Value) : [];
    }
}
