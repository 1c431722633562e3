// SPDX-License-Identifier: MIT
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Trust;

public sealed class TimeGroupTests
{
    [Fact]
    public void Takes_of_one_named_group_share_it() => Assert.True(new TimeGroup("loopback").Shares(new("loopback")));

    [Fact]
    public void Takes_of_two_groups_do_not() => Assert.False(new TimeGroup("sofa").Shares(new("Sofa")));

    [Fact]
    public void A_take_without_a_group_shares_none_not_even_with_its_like()
    {
        Assert.False(TimeGroup.None.Shares(TimeGroup.None));
        Assert.False(TimeGroup.None.Shares(new("loopback")));
        Assert.False(new TimeGroup("loopback").Shares(TimeGroup.None));
    }

    [Fact]
    public void The_default_is_no_group() => Assert.Equal((TimeGroup.None, "none"), (default(TimeGroup), default(TimeGroup).ToString()));
}
